// A button: plain, the one main way on of a screen, or quiet. An icon only ever stands beside the words.
import type { ButtonHTMLAttributes, ReactNode } from 'react';
import { Icon, type IconName } from './icon.tsx';

interface ButtonProps extends Omit<ButtonHTMLAttributes<HTMLButtonElement>, 'className'> {
  readonly kind?: 'plain' | 'main' | 'quiet';
  readonly icon?: IconName;
  /** As wide as its column. */
  readonly wide?: boolean;
  readonly children: ReactNode;
}

export function Button({
  kind = 'plain',
  icon,
  wide = false,
  children,
  type = 'button',
  ...rest
}: ButtonProps) {
  const classes = [kind, wide ? 'wide' : ''].filter((name) => name !== '' && name !== 'plain').join(' ');
  return (
    <button {...rest} type={type} className={classes}>
      {icon ? <Icon name={icon} /> : null}
      {children}
    </button>
  );
}
