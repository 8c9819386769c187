import { Check, ChevronDown } from 'lucide-react';
import { Button, Label, ListBox, ListBoxItem, Popover, Select, SelectValue } from 'react-aria-components';

interface PickFromProps<Id extends string> {
  readonly label: string;
  readonly options: readonly { readonly id: Id; readonly words: string; readonly note?: string }[];
  readonly value: Id | undefined;
  readonly onChange: (id: Id) => void;
  readonly placeholder?: string;
}

/** A list that opens, one of its lines in force: for as many as a build may hold. */
export function PickFrom<Id extends string>({
  label,
  options,
  value,
  onChange,
  placeholder = 'Choose',
}: PickFromProps<Id>) {
  return (
    <Select
      className="field pick-field"
      placeholder={placeholder}
      value={value ?? null}
      onChange={(key) => {
        const chosen = options.find(({ id }) => id === key);
        if (chosen && chosen.id !== value) onChange(chosen.id);
      }}
    >
      <Label className="field-label">{label}</Label>
      <Button className="pick-from">
        <SelectValue className="pick-from-value" />
        <ChevronDown size={18} aria-hidden="true" />
      </Button>
      <Popover className="pop pick-from-pop">
        <ListBox className="menu">
          {options.map(({ id, words, note }) => (
            <ListBoxItem key={id} id={id} textValue={words} className="menu-item">
              <Check size={18} aria-hidden="true" className="pick-from-mark" />
              <span>
                {words}
                {note !== undefined && <span className="quiet small pick-from-note"> {note}</span>}
              </span>
            </ListBoxItem>
          ))}
        </ListBox>
      </Popover>
    </Select>
  );
}
