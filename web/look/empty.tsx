// An empty screen: what is not here, and what to do next.
import type { ReactNode } from 'react';

export function Empty({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  return (
    <div className="empty">
      <p className="empty-title">{title}</p>
      {children}
    </div>
  );
}
