// The list itself: a file, dropped or chosen, or lines pasted out of a spreadsheet.
import { type DragEvent, useId, useState } from 'react';
import type { ListFile } from '../data/lists.ts';
import { Button } from '../look/button.tsx';

export function ChooseList({
  file,
  onChosen,
}: {
  readonly file: ListFile | null;
  readonly onChosen: (file: ListFile | null) => void;
}) {
  const id = useId();
  const [isOver, setOver] = useState(false);
  const take = (chosen: File | undefined) => {
    if (chosen) onChosen({ name: chosen.name, bytes: chosen });
  };
  const drop = (event: DragEvent) => {
    event.preventDefault();
    setOver(false);
    take(event.dataTransfer.files[0]);
  };
  if (file !== null) {
    return (
      <p className="chosen-list">
        <strong>{file.name}</strong> <Button onClick={() => onChosen(null)}>Another list</Button>
      </p>
    );
  }
  return (
    <div className="choose-list">
      <section
        className={isOver ? 'card drop drop-over' : 'card drop'}
        aria-label="A file"
        onDragOver={(event) => {
          event.preventDefault();
          setOver(true);
        }}
        onDragLeave={() => setOver(false)}
        onDrop={drop}
      >
        <label htmlFor={id}>A CSV file</label>
        <p className="small">
          Save the list from any spreadsheet as CSV. Columns may be called anything, in several languages; a
          line needs a name, a maker or a model. You see what will happen before anything is written.
        </p>
        <input
          id={id}
          type="file"
          accept=".csv,.tsv,.txt,text/csv"
          onChange={(event) => take(event.target.files?.[0])}
        />
      </section>
      <PasteList onChosen={onChosen} />
    </div>
  );
}

function PasteList({ onChosen }: { readonly onChosen: (file: ListFile) => void }) {
  const id = useId();
  const [text, setText] = useState('');
  return (
    <section className="card" aria-label="Pasted lines">
      <label htmlFor={id}>Or paste lines, with their headings</label>
      <textarea
        id={id}
        className="paste"
        rows={6}
        value={text}
        spellCheck={false}
        onChange={(event) => setText(event.target.value)}
      />
      <p>
        <Button
          disabled={text.trim() === ''}
          onClick={() => onChosen({ name: 'pasted lines', bytes: new Blob([text], { type: 'text/csv' }) })}
        >
          Read these lines
        </Button>
      </p>
    </section>
  );
}
