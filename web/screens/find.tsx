// Finds things and places by any part of what they are known by, and narrows them; all of it stands in the address.
import './find.css';
import { useCallback, useState } from 'react';
import { Link, useSearchParams } from 'react-router';
import type { Refused } from '../data/ask.ts';
import { FILTERS, type FoundPage, findAllThings, SELECTED_MAX, useFinding } from '../data/finding.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { BulkEdit } from './bulk-edit.tsx';
import { FindFilters } from './find-filters.tsx';
import { FindTable } from './find-table.tsx';
import { Answered, RefusedNotice, useTitle } from './parts.tsx';
import { type Selection, useSelection } from './selection.ts';
import { showNumber } from './words.ts';

function sayFound({ hits, all, skip }: FoundPage): string {
  if (hits.length === all) return all === 1 ? '1 found' : `${showNumber(all)} found`;
  // The service counts no further.
  const of = all === SELECTED_MAX ? `${showNumber(all)} or more` : showNumber(all);
  return `${showNumber(skip + 1)} to ${showNumber(skip + hits.length)} of ${of} found`;
}

function NothingFound({ text, isNarrowed }: { readonly text: string; readonly isNarrowed: boolean }) {
  const title = text === '' ? 'Nothing passes these filters.' : `Nothing is known by “${text}”.`;
  return (
    <Empty title={isNarrowed && text !== '' ? `Nothing known by “${text}” passes these filters.` : title}>
      <p>
        {isNarrowed
          ? 'Take a filter off, or type less.'
          : 'Try a shorter part of the name, the maker, the model, the serial number or the tag.'}
      </p>
    </Empty>
  );
}

/** Leafing through: each page is an address of its own, so back goes back. */
function Leaf({ page }: { readonly page: FoundPage }) {
  const [query] = useSearchParams();
  if (page.next === null && page.skip === 0) return null;
  const address = (after: string | null) => {
    const next = new URLSearchParams(query);
    if (after === null) next.delete('after');
    else next.set('after', after);
    return `/find?${next}`;
  };
  return (
    <nav className="ways" aria-label="Pages">
      {page.skip > 0 ? (
        <Link className="button" to={address(null)}>
          First page
        </Link>
      ) : null}
      {page.next === null ? null : (
        <Link className="button" to={address(page.next)}>
          Next page
        </Link>
      )}
    </nav>
  );
}

/** What can be done with the selected ones, in view as long as there are any. */
function SelectionBar({ selection, onEdit }: { readonly selection: Selection; readonly onEdit: () => void }) {
  const count = selection.all.length;
  if (count === 0) return null;
  return (
    <section className="selection-bar not-on-paper" aria-label="Selected">
      <p role="status">{count === 1 ? '1 selected' : `${showNumber(count)} selected`}</p>
      <Button kind="main" aria-keyshortcuts="e" onClick={onEdit}>
        Edit {count === 1 ? 'it' : 'them'}
      </Button>
      <Button onClick={selection.clear}>Select none</Button>
    </section>
  );
}

function SelectAll({ page, selection }: { readonly page: FoundPage; readonly selection: Selection }) {
  const [query] = useSearchParams();
  const [refused, setRefused] = useState<Refused | null>(null);
  const [busy, setBusy] = useState(false);
  const selectAll = async () => {
    setBusy(true);
    const answer = await findAllThings(query);
    setBusy(false);
    setRefused(answer.ok ? null : answer);
    if (answer.ok) selection.add(answer.body.flatMap(({ thing }) => (thing === null ? [] : [thing])));
  };
  return (
    <>
      <Button kind="quiet" disabled={busy} onClick={selectAll}>
        {busy
          ? 'Selecting …'
          : page.all < SELECTED_MAX
            ? 'Select all'
            : `Select the first ${showNumber(SELECTED_MAX)}`}
      </Button>
      {refused === null ? null : <RefusedNotice refused={refused} onAgain={selectAll} />}
    </>
  );
}

interface FoundProps {
  readonly page: FoundPage;
  readonly text: string;
  readonly isNarrowed: boolean;
  readonly selection: Selection;
  readonly onEdit: () => void;
}

function Found({ page, text, isNarrowed, selection, onEdit }: FoundProps) {
  if (page.hits.length === 0) return <NothingFound text={text} isNarrowed={isNarrowed} />;
  return (
    <>
      <div className="find-sum">
        <p role="status">{sayFound(page)}</p>
        {page.hits.some(({ thing }) => thing !== null) ? (
          <SelectAll page={page} selection={selection} />
        ) : null}
      </div>
      <FindTable hits={page.hits} selection={selection} onEdit={onEdit} />
      <Leaf page={page} />
    </>
  );
}

type ResultsProps = Omit<FoundProps, 'page'> & { readonly query: URLSearchParams };

function Results({ query, ...found }: ResultsProps) {
  const { answer, again, isOld } = useFinding(query);
  return (
    <>
      <FindFilters />
      {found.text === '' && !found.isNarrowed ? (
        <Empty title="Type what you know of it.">
          <p>
            A part of its name, maker, model, serial number or tag, in the field above. Typing errors are
            forgiven. Or choose what to list here.
          </p>
        </Empty>
      ) : (
        <div aria-busy={isOld}>
          <Answered answer={answer} onAgain={again}>
            {(page) => <Found page={page} {...found} />}
          </Answered>
        </div>
      )}
      <SelectionBar selection={found.selection} onEdit={found.onEdit} />
    </>
  );
}

export function FindScreen() {
  const [query] = useSearchParams();
  const text = (query.get('q') ?? '').trim().slice(0, 200);
  const isNarrowed = FILTERS.some((name) => query.has(name));
  useTitle(text === '' ? 'Find' : `Find “${text}”`);
  const selection = useSelection();
  const [isEditing, setEditing] = useState(false);
  const edit = useCallback(() => setEditing(true), []);
  const close = (done: boolean) => {
    setEditing(false);
    // What was changed has another version now.
    if (done) selection.clear();
  };
  return (
    <>
      <Tape level={1}>{text === '' ? 'Find' : `Find “${text}”`}</Tape>
      {isEditing ? (
        <BulkEdit things={selection.all} onClose={close} />
      ) : (
        <Results {...{ query, text, isNarrowed, selection, onEdit: edit }} />
      )}
    </>
  );
}
