// A question that has to be answered before anything else goes on. The browser's own dialog keeps the focus inside
// and closes on Escape.
import { type ReactNode, useEffect, useId, useRef } from 'react';

interface DialogProps {
  readonly open: boolean;
  readonly title: string;
  /** Closed without an answer: Escape, or a way of the dialog that says so. */
  readonly onClose: () => void;
  readonly children: ReactNode;
  /** The buttons, the safest first. */
  readonly ways: ReactNode;
}

export function Dialog({ open, title, onClose, children, ways }: DialogProps) {
  const dialog = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => {
    const shown = dialog.current;
    if (!shown) return;
    if (open && !shown.open) shown.showModal();
    if (!open && shown.open) shown.close();
  }, [open]);
  return (
    <dialog ref={dialog} aria-labelledby={id} onClose={open ? onClose : undefined}>
      <h2 className="tape" id={id}>
        {title}
      </h2>
      {children}
      <div className="dialog-ways">{ways}</div>
    </dialog>
  );
}
