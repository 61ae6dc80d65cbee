// The codes of a thing: its tags and other people's barcodes, one more put on by typing it or with a keyboard-type reader,
// one taken off. A mistyped tag is caught here, and a code that is on something else is only taken from there when told.
import { type FormEvent, useState } from 'react';
import type { Thing } from '#domain/thing.ts';
import { askMeaning, elsewhere, type Meaning, putCode, takeOffCode } from '../data/thing-codes.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { Tape } from '../look/tape.tsx';
import type { Deeds } from './thing-deeds.tsx';
import { showCode } from './thing-facts.tsx';

interface CodesProps {
  readonly thing: Thing;
  readonly deeds: Deeds;
}

function CodeList({ thing, deeds }: CodesProps) {
  const takeOff = (code: string) =>
    deeds.run(
      () => takeOffCode(code, thing.id),
      () => ({ words: `${showCode(code)} is off it.`, undo: () => putCode(code, thing.id) }),
    );
  return (
    <ul className="plain">
      {thing.codes.map((code) => (
        <li key={code}>
          <span className="code">{showCode(code)}</span>
          {thing.mergedIntoId === null ? (
            <span className="not-on-paper">
              {' '}
              <Button
                kind="quiet"
                aria-label={`Take off ${showCode(code)}`}
                onClick={() => void takeOff(code)}
              >
                Take off
              </Button>
            </span>
          ) : null}
        </li>
      ))}
    </ul>
  );
}

interface AskedProps {
  readonly meaning: Meaning;
  readonly thing: Thing;
  readonly onPut: (code: string, takeFrom: string | null) => void;
}

/** What has to be answered before the code is put on: which tag was meant, or whether it leaves what it is on. */
function AskedOfCode({ meaning, thing, onPut }: AskedProps) {
  const other = elsewhere(meaning, thing.id);
  if (meaning.means === 'mistyped')
    return (
      <div role="alert">
        <p className="field-error">This tag has a mistake in it. Compare it with the label.</p>
        <p className="ways">
          {meaning.candidates.map(({ code, shown, name }) => (
            <Button key={code} onClick={() => onPut(code, null)} disabled={name !== null}>
              {name === null ? shown : `${shown} (on ${name})`}
            </Button>
          ))}
        </p>
      </div>
    );
  if (other === null) return null;
  return (
    <div role="alert">
      <p>
        {meaning.shown} is on {other.name} now.
      </p>
      <Button onClick={() => onPut(meaning.code, other.id)}>Take it from there</Button>
    </div>
  );
}

function PutCode({ thing, deeds }: CodesProps) {
  const [text, setText] = useState('');
  const [asked, setAsked] = useState<Meaning | null>(null);
  const put = async (code: string, takeFrom: string | null) => {
    const isDone = await deeds.run(
      () => putCode(code, thing.id, takeFrom),
      () => ({ words: `${showCode(code)} is on it now.`, undo: () => takeOffCode(code, thing.id) }),
    );
    if (!isDone) return;
    setText('');
    setAsked(null);
  };
  const submit = async (event: FormEvent) => {
    event.preventDefault();
    const meaning = await askMeaning(text.trim());
    deeds.refuse(meaning.ok ? null : meaning);
    if (!meaning.ok) return;
    const mayPut = meaning.body.means !== 'mistyped' && elsewhere(meaning.body, thing.id) === null;
    if (mayPut) await put(meaning.body.code, null);
    else setAsked(meaning.body);
  };
  return (
    <form className="not-on-paper" onSubmit={submit} aria-label="Put a code on it">
      <div className="row-form">
        <Field
          label="Put a tag or a code on it"
          value={text}
          maxLength={200}
          autoComplete="off"
          onChange={(event) => {
            setText(event.target.value);
            setAsked(null);
          }}
        />
        <Button type="submit" disabled={text.trim() === ''}>
          Put it on
        </Button>
      </div>
      {asked ? (
        <AskedOfCode meaning={asked} thing={thing} onPut={(code, from) => void put(code, from)} />
      ) : null}
    </form>
  );
}

export function ThingCodes(props: CodesProps) {
  const { thing } = props;
  return (
    <section aria-labelledby="codes">
      <Tape level={2} id="codes">
        Codes
      </Tape>
      {thing.codes.length === 0 ? <p>It has no tag yet.</p> : <CodeList {...props} />}
      {thing.mergedIntoId === null ? <PutCode {...props} /> : null}
    </section>
  );
}
