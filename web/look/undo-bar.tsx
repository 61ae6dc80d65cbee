// Says what was just done and takes it back on one press. It stays until the next thing is done.
import { Button } from './button.tsx';

export function UndoBar({ done, onUndo }: { readonly done: string; readonly onUndo: () => void }) {
  return (
    <div className="undo-bar" role="status">
      <p>{done}</p>
      <Button icon="undo" onClick={onUndo}>
        Undo
      </Button>
    </div>
  );
}
