import type { LucideIcon } from 'lucide-react';
import { Button, type ButtonProps } from 'react-aria-components';

interface ActionButtonProps extends Omit<ButtonProps, 'className' | 'children'> {
  readonly icon?: LucideIcon;
  /** `main` is the one next step of a panel; `quiet` stands back in bars and lists. */
  readonly kind?: 'main' | 'plain' | 'quiet';
  readonly wide?: boolean;
  /** The words; a button never shows an icon alone. */
  readonly children: string;
}

/** A button with a plain word and, where it helps, an icon. */
export function ActionButton({
  icon: Icon,
  kind = 'plain',
  wide = false,
  children,
  ...rest
}: ActionButtonProps) {
  return (
    <Button {...rest} className={`action action-${kind}${wide ? ' action-wide' : ''}`}>
      {Icon && <Icon size={20} aria-hidden="true" />}
      <span>{children}</span>
    </Button>
  );
}
