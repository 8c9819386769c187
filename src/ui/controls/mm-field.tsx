import { Minus, Plus } from 'lucide-react';
import { Button, Group, Input, Label, NumberField, Text } from 'react-aria-components';

interface MmFieldProps {
  readonly label: string;
  readonly value: number | undefined;
  /** Called when the maker has finished a number (Enter, leaving the field, a step button). */
  readonly onChange: (value: number) => void;
  readonly min?: number;
  readonly max?: number;
  /** Digits after the point that are kept; the step buttons move the last of them. */
  readonly digits?: number;
  /** Shown after the number; mm unless told otherwise. */
  readonly unit?: string;
  readonly help?: string;
  readonly isDisabled?: boolean;
  /** False where a step up or down makes no sense, or there is no room for it. */
  readonly hasSteps?: boolean;
}

/** A number with its unit, typed or stepped; follows the browser's way of writing decimals. */
export function MmField({
  label,
  value,
  onChange,
  min,
  max,
  digits = 1,
  unit = 'mm',
  help,
  isDisabled = false,
  hasSteps = true,
}: MmFieldProps) {
  return (
    <NumberField
      className="field"
      value={value ?? Number.NaN}
      onChange={(next) => {
        if (Number.isFinite(next)) onChange(next);
      }}
      {...(min !== undefined && { minValue: min })}
      {...(max !== undefined && { maxValue: max })}
      step={10 ** -digits}
      formatOptions={{ maximumFractionDigits: digits, useGrouping: false }}
      isDisabled={isDisabled}
    >
      <Label className="field-label">{label}</Label>
      <Group className="field-box">
        <Input />
        <span className="field-unit" aria-hidden="true">
          {unit}
        </span>
        {hasSteps && (
          <>
            <Button slot="decrement" className="field-step">
              <Minus size={18} aria-hidden="true" />
            </Button>
            <Button slot="increment" className="field-step">
              <Plus size={18} aria-hidden="true" />
            </Button>
          </>
        )}
      </Group>
      {help && (
        <Text slot="description" className="field-help">
          {help}
        </Text>
      )}
    </NumberField>
  );
}
