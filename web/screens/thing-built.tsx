// What a thing is built on, what is built on it, and the other entries that turned out to be the same.
import { Link } from 'react-router';
import { type Thing, thingSchema } from '#domain/thing.ts';
import { useBuiltOn, useMergedInto } from '../data/thing-records.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Tape } from '../look/tape.tsx';
import { bodyOf } from './parts.tsx';

function Names({ things }: { readonly things: readonly Thing[] }) {
  return (
    <ul className="plain">
      {things.map((thing) => (
        <li key={thing.id}>
          <Link to={`/things/${thing.id}`}>{thing.name}</Link>
        </li>
      ))}
    </ul>
  );
}

function MainThing({ id }: { readonly id: string }) {
  const main = bodyOf(useAnswer(`/api/things/${id}`, thingSchema).answer);
  return (
    <p>
      It rides and is used on <Link to={`/things/${id}`}>{main?.name ?? 'its main thing'}</Link>.
    </p>
  );
}

export function ThingBuilt({ thing }: { readonly thing: Thing }) {
  const built = bodyOf(useBuiltOn(thing.id).answer) ?? [];
  if (thing.builtOnId === null && built.length === 0) return null;
  return (
    <section aria-labelledby="built">
      <Tape level={2} id="built">
        Built together
      </Tape>
      {thing.builtOnId === null ? null : <MainThing id={thing.builtOnId} />}
      {built.length === 0 ? null : (
        <>
          <p>Built on it:</p>
          <Names things={built} />
        </>
      )}
    </section>
  );
}

export function OldEntries({ thing }: { readonly thing: Thing }) {
  const merged = bodyOf(useMergedInto(thing.id).answer) ?? [];
  if (merged.length === 0) return null;
  return (
    <section aria-labelledby="old-entries">
      <Tape level={2} id="old-entries">
        Old entries for the same thing
      </Tape>
      <Names things={merged} />
    </section>
  );
}
