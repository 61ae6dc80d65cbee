// Finds a thing by any part of its name, maker, model, serial or code, in any script.
import { useDeferredValue, useMemo, useState } from 'react';
import { foldForSearch, searchWords } from '#domain/fold.ts';
import { isKept } from '#domain/marks.ts';
import { Field } from '../../web/look/field.tsx';
import { Line, Lines } from '../../web/look/line.tsx';
import { Frame } from './frame.tsx';
import { useBook, usePage } from './page.tsx';
import type { RouteAt } from './route.ts';
import { placeName, whoseWord } from './words.ts';

const SHOWN_MAX = 50;

export function FindScreen({ route }: { readonly route: RouteAt<'find'> }) {
  const book = useBook();
  const { go } = usePage();
  const [question, setQuestion] = useState('');
  const words = searchWords(useDeferredValue(question));
  const { things } = book;
  const index = useMemo(
    () =>
      [...things.values()].filter(isKept).map((thing) => {
        const { name, maker, model, serial, description, codes } = thing;
        return { thing, folded: foldForSearch([name, maker, model, serial, description, ...codes]) };
      }),
    [things],
  );
  const found =
    words.length === 0 ? [] : index.filter(({ folded }) => words.every((word) => folded.includes(word)));
  const asked = words.length > 0;
  return (
    <Frame title="Find a thing">
      <Field
        label="Any part of its name, maker, serial or code"
        value={question}
        onChange={(event) => setQuestion(event.target.value)}
        type="search"
        autoComplete="off"
        maxLength={100}
      />
      <p role="status">
        {asked && found.length === 0 ? 'Nothing like this is entered. Try fewer letters.' : null}
        {found.length > SHOWN_MAX
          ? `${found.length} found, the first ${SHOWN_MAX} shown. Type more of it.`
          : null}
      </p>
      <Lines label="Found">
        {found.slice(0, SHOWN_MAX).map(({ thing }) => {
          const position = book.standing.positions.get(thing.id);
          const where = position === undefined ? '' : placeName(book, position.placeId);
          return (
            <Line
              key={thing.id}
              name={thing.name}
              facts={[thing.serial, whoseWord(thing.whose), where].filter(Boolean).join(' · ')}
              onPress={() => go({ at: 'thing', thingId: thing.id, stopId: route.stopId })}
            />
          );
        })}
      </Lines>
    </Frame>
  );
}
