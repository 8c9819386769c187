import { useBuild } from '../bench.ts';
import { PickFrom } from '../controls/pick-from.tsx';

interface AgainstProps {
  readonly pieceId: string;
  /** The other piece of a pair; undefined while the piece is folded on itself. */
  readonly otherId: string | undefined;
  readonly onOther: (otherId: string | undefined) => void;
}

const ITSELF = 'itself';

/** What a piece is checked against: its own other half, or the other piece of a pair. */
export function Against({ pieceId, otherId, onOther }: AgainstProps) {
  const pieces = useBuild((build) => build.pieces);
  const others = pieces.filter(({ id, included }) => id !== pieceId && (included || id === otherId));
  if (others.length === 0) return null;
  return (
    <PickFrom
      label="Checked against"
      options={[
        { id: ITSELF, words: 'its own other half' },
        ...others.map(({ id, name }) => ({ id, words: `${name}, turned over` })),
      ]}
      value={otherId ?? ITSELF}
      onChange={(id) => onOther(id === ITSELF ? undefined : id)}
    />
  );
}
