// Editing the facts of a thing in place. What is typed is kept until it is saved or let go; when somebody else was faster,
// both versions stand side by side and the person chooses.
import { type FormEvent, useEffect, useRef, useState } from 'react';
import type { Thing, ThingFacts } from '#domain/thing.ts';
import type { Refused } from '../data/ask.ts';
import {
  type Draft,
  type DraftFaults,
  differingKeys,
  draftOf,
  factsOfDraft,
  mixFacts,
} from '../data/thing-draft.ts';
import {
  factsOfThing,
  type KeptDraft,
  keepDraft,
  readDraft,
  readThing,
  saveThing,
} from '../data/thing-edit.ts';
import { Button } from '../look/button.tsx';
import { Notice } from '../look/notice.tsx';
import { Tape } from '../look/tape.tsx';
import { RefusedNotice, useOutfit } from './parts.tsx';
import { ThingForm } from './thing-form.tsx';
import { type Chosen, firstChosen, type Side, TwoVersions } from './thing-two-versions.tsx';

interface Clash {
  readonly mine: ThingFacts;
  readonly theirs: Thing;
}

/** The two versions, and saving what is chosen of them. */
function ClashView({
  clash,
  base,
  busy,
  onSave,
  onBack,
}: {
  readonly clash: Clash;
  readonly base: ThingFacts;
  readonly busy: boolean;
  readonly onSave: (facts: ThingFacts, theirs: Thing) => void;
  readonly onBack: () => void;
}) {
  const theirs = factsOfThing(clash.theirs);
  const [chosen, setChosen] = useState<Chosen>(() => firstChosen(base, clash.mine, theirs));
  const keys = differingKeys(clash.mine, theirs);
  const open = keys.filter((key) => chosen[key] === undefined);
  const fromRight = new Set<string>(keys.filter((key) => chosen[key] === 'right'));
  return (
    <section aria-labelledby="two-versions">
      <Tape level={2} id="two-versions">
        Somebody else changed it meanwhile
      </Tape>
      <p className="measure">
        Nothing is lost. Choose fact by fact; what only one of you changed is chosen already.
      </p>
      <TwoVersions
        left={clash.mine}
        right={theirs}
        titles={['What you wrote', 'What is kept now']}
        chosen={chosen}
        onChoose={(key: string, side: Side) => setChosen({ ...chosen, [key]: side })}
      />
      <div className="ways">
        <Button
          kind="main"
          disabled={busy || open.length > 0}
          onClick={() => onSave(mixFacts(clash.mine, theirs, fromRight), clash.theirs)}
        >
          Save what is chosen
        </Button>
        <Button onClick={onBack}>Back to what I wrote</Button>
      </div>
      {open.length > 0 ? (
        <p role="status">
          {open.length === 1
            ? 'One fact was changed by both of you'
            : `${open.length} facts were changed by both of you`}
          : choose before you save.
        </p>
      ) : null}
    </section>
  );
}

/** What was typed, kept over a reload of the page. */
function useKeptDraft(thing: Thing, currency: string) {
  const [kept, setKept] = useState<KeptDraft>(() => {
    const base = factsOfThing(thing);
    return readDraft(thing.id) ?? { version: thing.version, base, draft: draftOf(base, currency) };
  });
  const change = (draft: Draft) => {
    const next = { ...kept, draft };
    setKept(next);
    keepDraft(thing.id, next);
  };
  return { kept, change, letGo: () => keepDraft(thing.id, null) };
}

interface EditProps {
  readonly thing: Thing;
  readonly onDone: (saved: Thing | null) => void;
}

function useSaving({ thing, onDone }: EditProps) {
  const { currency } = useOutfit();
  const { kept, change, letGo } = useKeptDraft(thing, currency);
  const [faults, setFaults] = useState<DraftFaults>({});
  const [refused, setRefused] = useState<Refused | null>(null);
  const [clash, setClash] = useState<Clash | null>(null);
  const [busy, setBusy] = useState(false);
  const save = async (facts: ThingFacts, version: number) => {
    setBusy(true);
    const saved = await saveThing({ ...thing, version }, facts);
    const theirs = !saved.ok && saved.kind === 'version-moved' ? await readThing(thing.id) : null;
    setBusy(false);
    setRefused(saved.ok || theirs?.ok ? null : saved);
    if (theirs?.ok) setClash({ mine: facts, theirs: theirs.body });
    if (!saved.ok) return;
    letGo();
    onDone(saved.body);
  };
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const read = factsOfDraft(kept.draft, thing.kind, currency);
    setFaults('faults' in read ? read.faults : {});
    if ('facts' in read) void save(read.facts, kept.version);
  };
  const letAllGo = () => {
    letGo();
    onDone(null);
  };
  return { kept, change, faults, refused, clash, setClash, busy, save, submit, letAllGo };
}

export function ThingEdit(props: EditProps) {
  const { thing } = props;
  const { kept, change, faults, refused, clash, setClash, busy, save, submit, letAllGo } = useSaving(props);
  const form = useRef<HTMLFormElement>(null);
  // The first field that is wrong is where the person goes on.
  useEffect(() => {
    if (Object.keys(faults).length > 0)
      form.current?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
  }, [faults]);
  if (clash)
    return (
      <>
        {refused ? <RefusedNotice refused={refused} /> : null}
        <ClashView
          key={clash.theirs.version}
          clash={clash}
          base={kept.base}
          busy={busy}
          onSave={(facts, theirs) => void save(facts, theirs.version)}
          onBack={() => setClash(null)}
        />
      </>
    );
  return (
    <form ref={form} className="thing-form" onSubmit={submit} aria-labelledby="edit-facts" noValidate>
      <Tape level={2} id="edit-facts">
        Facts, to be changed
      </Tape>
      {kept.version < thing.version ? (
        <Notice kind="news">
          <p>Somebody changed this thing since you began. When you save, you see both versions and choose.</p>
        </Notice>
      ) : null}
      <ThingForm
        thingId={thing.id}
        kind={thing.kind}
        facts={kept.base}
        draft={kept.draft}
        faults={faults}
        onDraft={change}
      />
      {refused ? <RefusedNotice refused={refused} /> : null}
      {Object.keys(faults).length > 0 ? (
        <p role="status">Not saved yet: correct what is marked above.</p>
      ) : null}
      <div className="ways thing-save">
        <Button kind="main" type="submit" disabled={busy}>
          {busy ? 'Saving …' : 'Save'}
        </Button>
        <Button onClick={letAllGo}>Let go of the changes</Button>
      </div>
    </form>
  );
}
