// A heading on a strip of tape.
import type { ReactNode } from 'react';

export function Tape({
  level,
  id,
  figure,
  children,
}: {
  readonly level: 1 | 2 | 3;
  readonly id?: string;
  /** A number or a short fact that belongs to the heading, such as "3 open". */
  readonly figure?: ReactNode;
  readonly children: ReactNode;
}) {
  const Heading = `h${level}` as const;
  return (
    <Heading className="tape" id={id}>
      {children}
      {figure === undefined ? null : <span className="tape-figure"> {figure}</span>}
    </Heading>
  );
}
