import { FieldError, Group, Input, Label, Text, TextField } from 'react-aria-components';
import { isWithin, type Range } from '../../build/limits.ts';
import { readTape, type TapeUnit, tapeWords } from '../../fit/tape-length.ts';
import { useDraft } from '../controls/use-draft.ts';

interface TapeFieldProps {
  readonly label: string;
  readonly valueMm: number | undefined;
  readonly unit: TapeUnit;
  readonly range: Range;
  /** Called when the maker has finished a length; `undefined` where an emptied field takes the measure away. */
  readonly onChange: (valueMm: number | undefined) => void;
  /** Shown in the empty field. */
  readonly placeholder?: string;
  readonly help?: string;
  readonly canBeEmpty?: boolean;
}

/** A length as it reads on the maker's tape: mm, or inches with their fractions ("22 7/8"). */
export function TapeField({
  label,
  valueMm,
  unit,
  range,
  onChange,
  placeholder,
  help,
  canBeEmpty = false,
}: TapeFieldProps) {
  const shown = valueMm === undefined ? '' : tapeWords(valueMm, unit);
  const [draft, setDraft] = useDraft(shown);
  const read = readTape(draft, unit);
  const isEmpty = draft.trim() === '';
  const isUsable = isEmpty ? canBeEmpty : read !== undefined && isWithin(read, range);
  const finish = () => {
    // What the field only rounds off for showing must not come back as a change.
    if (draft === shown || !isUsable) return;
    onChange(isEmpty ? undefined : read);
  };
  return (
    <TextField
      className="field"
      value={draft}
      onChange={setDraft}
      onBlur={finish}
      isInvalid={!isUsable && draft !== shown}
      validationBehavior="aria"
    >
      <Label className="field-label">{label}</Label>
      <Group className="field-box">
        <Input
          {...(placeholder !== undefined && { placeholder })}
          inputMode={unit === 'mm' ? 'decimal' : 'text'}
          onKeyDown={(event) => {
            if (event.key === 'Enter') event.currentTarget.blur();
            if (event.key === 'Escape') setDraft(shown);
          }}
        />
        <span className="field-unit" aria-hidden="true">
          {unit === 'mm' ? 'mm' : 'in'}
        </span>
      </Group>
      {help && (
        <Text slot="description" className="field-help">
          {help}
        </Text>
      )}
      <FieldError className="field-error">
        {`A length from ${tapeWords(range.min, unit)} to ${tapeWords(range.max, unit)} ${unit}, please${unit === 'in' ? ', such as 22 7/8' : ''}.`}
      </FieldError>
    </TextField>
  );
}
