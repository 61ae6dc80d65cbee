// Lines of the ledger, the latest first, each with its undo.
import type { Recorded } from '#domain/movement.ts';
import { Button } from '../../web/look/button.tsx';
import type { PhoneBook } from '../store/phone-book.ts';
import { useBook, usePage } from './page.tsx';
import { CHECK_WORDS, personName, phoneZone, placeName, SAID_WORDS, timeText } from './words.ts';

function whatOf(line: Recorded, book: PhoneBook): string {
  const name =
    'thingId' in line && line.thingId !== null ? (book.things.get(line.thingId)?.name ?? 'a thing') : null;
  switch (line.kind) {
    case 'move':
      return `${name ?? line.code ?? 'a code'}: ${SAID_WORDS[line.why]}, ${placeName(book, line.toId)}`;
    case 'quantity':
      return `${line.number} × ${name}: ${SAID_WORDS[line.why]}${line.toId === null ? '' : `, ${placeName(book, line.toId)}`}`;
    case 'hand-count':
      return `${name}: ${line.number} in ${placeName(book, line.toId)}`;
    case 'absence':
      return `${line.number ?? ''} ${name}: ${SAID_WORDS[line.finding]}`.trim();
    case 'answer':
      return `${placeName(book, line.toId)}: ${CHECK_WORDS[line.check]}`;
    case 'mark':
      return `${name}: ${line.on ? '' : 'no longer '}${line.mark === 'faulty' ? 'faulty' : 'holding rushes'}`;
    case 'seal':
      return `${name}: sealed`;
    case 'unseal':
      return `${name}: seal opened`;
    case 'open':
      return `The count was opened, round ${line.round}`;
    case 'close':
      return `The count was closed, round ${line.round}`;
    case 'void':
      return 'Taken back';
  }
}

export function SaidLines({ lines }: { readonly lines: readonly Recorded[] }) {
  const book = useBook();
  const { undo } = usePage();
  const now = Date.now();
  return (
    <ul className="lines" aria-label="What was said">
      {[...lines].reverse().map((line) => {
        const what = whatOf(line, book);
        return (
          <li key={line.id} className="line">
            <span>
              <span className="line-name">{what}</span>
              <span className="line-facts">
                {[timeText(line.at, phoneZone(), now), personName(book, line.personId), line.note]
                  .filter(Boolean)
                  .join(' · ')}
              </span>
            </span>
            {line.kind === 'void' ? null : (
              <Button
                icon="undo"
                aria-label={`Undo: ${what}`}
                onClick={() => void undo([line], `Taken back: ${what}`)}
              >
                Undo
              </Button>
            )}
          </li>
        );
      })}
    </ul>
  );
}
