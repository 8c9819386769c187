import { Check } from 'lucide-react';
import { Checkbox } from 'react-aria-components';

interface TickProps {
  readonly isOn: boolean;
  readonly onChange: (isOn: boolean) => void;
  readonly children: string;
  /** Read aloud in place of the words, where they alone do not say which thing is meant. */
  readonly label?: string;
}

/** A box to tick, with its words. */
export function Tick({ isOn, onChange, children, label }: TickProps) {
  return (
    <Checkbox
      className="tick"
      isSelected={isOn}
      onChange={onChange}
      {...(label !== undefined && { 'aria-label': label })}
    >
      <span className="tick-box">
        <Check size={16} strokeWidth={3} aria-hidden="true" />
      </span>
      {children}
    </Checkbox>
  );
}
