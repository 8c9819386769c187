import type { LucideIcon } from 'lucide-react';
import { ToggleButton, ToggleButtonGroup } from 'react-aria-components';

interface ChoiceProps<Id extends string> {
  readonly label: string;
  readonly options: readonly { readonly id: Id; readonly words: string; readonly icon?: LucideIcon }[];
  readonly value: Id;
  readonly onChange: (value: Id) => void;
}

/** A few words side by side, exactly one of them in force. */
export function Choice<Id extends string>({ label, options, value, onChange }: ChoiceProps<Id>) {
  return (
    <ToggleButtonGroup
      className="choice"
      aria-label={label}
      selectionMode="single"
      disallowEmptySelection
      selectedKeys={[value]}
      onSelectionChange={(keys) => {
        const chosen = options.find((option) => keys.has(option.id));
        if (chosen) onChange(chosen.id);
      }}
    >
      {options.map(({ id, words, icon: Icon }) => (
        <ToggleButton key={id} id={id} className="choice-option">
          {Icon && <Icon size={18} aria-hidden="true" />}
          {words}
        </ToggleButton>
      ))}
    </ToggleButtonGroup>
  );
}
