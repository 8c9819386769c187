import { Input, Label, TextField } from 'react-aria-components';
import { useDraft } from './use-draft.ts';

interface TextLineProps {
  readonly label: string;
  readonly value: string;
  /** Called once, when the maker leaves the field or presses Enter, so that one renaming is one undo step. */
  readonly onChange: (value: string) => void;
  readonly hideLabel?: boolean;
  readonly placeholder?: string;
}

/** A line of text that is handed over when finished; an empty one goes back to what it was. */
export function TextLine({ label, value, onChange, hideLabel = false, placeholder }: TextLineProps) {
  const [draft, setDraft] = useDraft(value);
  const finish = () => {
    const text = draft.trim();
    if (text && text !== value) onChange(text);
    else setDraft(value);
  };
  return (
    <TextField className="field" value={draft} onChange={setDraft} onBlur={finish}>
      <Label className={hideLabel ? 'only-read-aloud' : 'field-label'}>{label}</Label>
      <Input
        className="text-input"
        {...(placeholder !== undefined && { placeholder })}
        onKeyDown={(event) => {
          if (event.key === 'Enter') event.currentTarget.blur();
          if (event.key === 'Escape') setDraft(value);
        }}
      />
    </TextField>
  );
}
