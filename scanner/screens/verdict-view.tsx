// The answer to a scan, and what can be done about it where it is no plain yes.
import { useState } from 'react';
import { showTag } from '#domain/tag-code.ts';
import { Button } from '../../web/look/button.tsx';
import { Field } from '../../web/look/field.tsx';
import { Line, Lines } from '../../web/look/line.tsx';
import { Verdict as VerdictSign } from '../../web/look/verdict.tsx';
import { useBook, usePage } from './page.tsx';
import { kindOf, type Scanning, type Shown } from './use-scanning.ts';
import { placeName, whoseWord } from './words.ts';

const WORDS: Readonly<Record<string, string>> = {
  'gone-in': 'Gone in',
  'already-in': 'Already in',
  unreadable: 'No code',
  'inside-itself': 'Not there',
};

function nameOf({ verdict, text }: Shown): string {
  if ('thing' in verdict) return verdict.thing.name;
  return 'code' in verdict ? verdict.code : text;
}

function Unknown({ scanning, code }: { readonly scanning: Scanning; readonly code: string }) {
  const [note, setNote] = useState('');
  return (
    <div className="card">
      <p>
        Nobody has entered <span className="code">{code}</span> yet. Kept, it counts for its thing as soon as
        somebody ties it to one.
      </p>
      <Field
        label="A few words on it"
        value={note}
        onChange={(event) => setNote(event.target.value)}
        maxLength={300}
      />
      <div className="row">
        <Button kind="main" onClick={() => scanning.take(note.trim() || null)}>
          Keep it
        </Button>
        <Button onClick={scanning.clear}>Leave it</Button>
      </div>
    </div>
  );
}

function More({ scanning, shown }: { readonly scanning: Scanning; readonly shown: Shown }) {
  const book = useBook();
  const { verdict, lines } = shown;
  const isTaken = lines.length > 0;
  if (verdict.kind === 'unknown' && !isTaken) return <Unknown scanning={scanning} code={verdict.code} />;
  if (verdict.kind === 'somebody-elses' && !isTaken) {
    const { thing } = verdict;
    const owner = thing.ownerPlaceId === null ? '' : `, ${placeName(book, thing.ownerPlaceId)}`;
    return (
      <div className="card">
        <p>
          This is {whoseWord(thing.whose)}
          {owner}, and was not aboard today. Does it come along?
        </p>
        <div className="row">
          <Button kind="main" onClick={() => scanning.take(null)}>
            It comes along
          </Button>
          <Button onClick={scanning.clear}>Leave it here</Button>
        </div>
      </div>
    );
  }
  if (verdict.kind === 'bad-code') {
    return (
      <div className="card">
        <p>
          <span className="code">{verdict.code}</span> can’t be right: a character was misread.
          {verdict.candidates.length > 0
            ? ' It may be one of these.'
            : ' Read it once more, or tap the thing’s line.'}
        </p>
        <div className="row">
          {verdict.candidates.slice(0, 6).map((code) => {
            const [target] = book.codes.get(code) ?? [];
            const name = target?.kind === 'thing' ? book.things.get(target.id)?.name : undefined;
            return (
              <Button key={code} onClick={() => scanning.scan(code, true)}>
                <span className="code">{showTag(code)}</span> {name ?? ''}
              </Button>
            );
          })}
        </div>
      </div>
    );
  }
  if (verdict.kind === 'which') {
    return (
      <div className="card">
        <p>This code names several things. Which is it?</p>
        <Lines label="Which thing">
          {verdict.things.map((thing) => (
            <Line
              key={thing.id}
              name={thing.name}
              facts={thing.serial ?? thing.description ?? ''}
              onPress={() => scanning.pick(thing, verdict.code)}
            />
          ))}
        </Lines>
      </div>
    );
  }
  if (verdict.kind === 'inside-itself')
    return <p>It can’t be put inside itself. Where is it? Tap its line and say.</p>;
  if (verdict.kind === 'unreadable') return <p>This holds no character that can be read. Scan it again.</p>;
  return null;
}

/** Announced as it changes: the sign stays in place, its words change. */
export function VerdictView({ scanning }: { readonly scanning: Scanning }) {
  const { undo } = usePage();
  const { shown, asksToTurn } = scanning;
  if (shown === null) return null;
  const kind = kindOf(shown.verdict);
  const word = WORDS[shown.verdict.kind];
  return (
    <section aria-label="Answer to the scan" className="answer">
      {kind === null ? null : (
        <VerdictSign key={shown.no} kind={kind} {...(word === undefined ? {} : { word })}>
          {nameOf(shown)}
        </VerdictSign>
      )}
      <More key={`more ${shown.no}`} scanning={scanning} shown={shown} />
      {asksToTurn ? (
        <div className="card" role="alert">
          <p>Three in a row were there already. Are you working the other way?</p>
          <div className="row">
            <Button kind="main" onClick={scanning.turn}>
              Turn these three round
            </Button>
            <Button onClick={scanning.dontTurn}>No, go on</Button>
          </div>
        </div>
      ) : null}
      {shown.lines.length > 0 && shown.verdict.kind === 'unknown' ? (
        <Button icon="undo" onClick={() => void undo(shown.lines, 'Taken back.').then(scanning.clear)}>
          Don’t keep it
        </Button>
      ) : null}
    </section>
  );
}
