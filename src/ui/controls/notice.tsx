import { CircleCheck, Eye, Info, TriangleAlert } from 'lucide-react';
import type { ReactNode } from 'react';

/** `look`: worth a second look; `wrong`: something failed; `good`: done; `plain`: by the way. */
type NoticeTone = 'look' | 'wrong' | 'good' | 'plain';

const MARKS = { look: Eye, wrong: TriangleAlert, good: CircleCheck, plain: Info };

interface NoticeProps {
  readonly tone: NoticeTone;
  readonly children: ReactNode;
  /** Said aloud at once by screen readers: for what has just happened. */
  readonly isNews?: boolean;
}

/** Words in the flow of a panel; its mark differs in shape as well as colour. */
export function Notice({ tone, children, isNews = false }: NoticeProps) {
  const Mark = MARKS[tone];
  return (
    <div className={`notice notice-${tone}`} {...(isNews && { role: tone === 'wrong' ? 'alert' : 'status' })}>
      <Mark size={20} aria-hidden="true" />
      <div className="notice-body">{children}</div>
    </div>
  );
}
