// A few sentences that must not be missed: a caution beside a number, or what went wrong and what to do.
import type { ReactNode } from 'react';
import { Icon } from './icon.tsx';

interface NoticeProps {
  /** `caution` is guidance and is there from the start; `trouble` has just happened and is read out at once. */
  readonly kind: 'caution' | 'trouble' | 'news';
  readonly title?: string;
  readonly children: ReactNode;
}

const ROLES = { caution: 'note', trouble: 'alert', news: 'status' } as const;

export function Notice({ kind, title, children }: NoticeProps) {
  return (
    <div className={kind === 'trouble' ? 'notice notice-bad' : 'notice'} role={ROLES[kind]}>
      {kind === 'news' ? null : <Icon name="caution" />}
      <div>
        {title ? <p className="notice-title">{title}</p> : null}
        {children}
      </div>
    </div>
  );
}
