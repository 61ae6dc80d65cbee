// The fields of a thing, group by group, as text that is typed. What is wrong with one stands beside it.
import type { ThingFacts, ThingKind } from '#domain/thing.ts';
import {
  type Draft,
  type DraftFaults,
  type DraftHome,
  isTicked,
  newHome,
  tickText,
} from '../data/thing-draft.ts';
import { type FieldRow, fieldsFor, GROUPS } from '../data/thing-fields.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { ClassSelect, LongText, PlaceSelect, Select, ThingPicker } from './thing-inputs.tsx';

interface OneField {
  readonly field: FieldRow;
  readonly value: string;
  readonly onValue: (value: string) => void;
  readonly error: string | undefined;
  readonly thingId: string;
}

function TickField({ field, value, onValue }: OneField) {
  return (
    <label className="thing-tick">
      <input
        type="checkbox"
        checked={isTicked(value)}
        onChange={(event) => onValue(tickText(event.target.checked))}
      />{' '}
      {field.label}
      {field.hint ? <span className="field-hint">{field.hint}</span> : null}
    </label>
  );
}

export function FactField(one: OneField) {
  const { field, value, onValue, error, thingId } = one;
  const { kind, label, hint } = field;
  const input = { label, value, onValue, hint, error };
  switch (kind.is) {
    case 'tick':
      return (
        <>
          <TickField {...one} />
          {error ? (
            <p className="field-error" role="alert">
              {error}
            </p>
          ) : null}
        </>
      );
    case 'choice':
      return (
        <Select {...input}>
          {kind.options.map(([option, name]) => (
            <option key={option} value={option}>
              {name}
            </option>
          ))}
        </Select>
      );
    case 'class':
      return <ClassSelect {...input} />;
    case 'party':
      return <PlaceSelect {...input} parties none="nobody named" />;
    case 'thing':
      return <ThingPicker {...input} without={thingId} />;
    case 'long':
      return <LongText {...input} />;
    default:
      return (
        <Field
          label={label}
          hint={hint}
          error={error}
          value={value}
          type={kind.is === 'date' ? 'date' : 'text'}
          inputMode={
            kind.is === 'whole'
              ? 'numeric'
              : kind.is === 'decimal' || kind.is === 'money'
                ? 'decimal'
                : 'text'
          }
          maxLength={300}
          autoComplete="off"
          onChange={(event) => onValue(event.target.value)}
        />
      );
  }
}

function HomeRow({
  home,
  kind,
  thingId,
  at,
  onHome,
  onAway,
}: {
  readonly home: DraftHome;
  readonly kind: ThingKind;
  readonly thingId: string;
  readonly at: number;
  readonly onHome: (home: DraftHome) => void;
  readonly onAway: () => void;
}) {
  return (
    <div className="thing-home">
      <PlaceSelect
        label={`Lives in (${at + 1})`}
        value={home.placeId}
        without={thingId}
        none="choose a place"
        onValue={(placeId) => onHome({ ...home, placeId })}
      />
      <Select label="When" value={home.way} onValue={(way) => onHome({ ...home, way })}>
        <option value="driving">driving</option>
        <option value="flying">flying</option>
      </Select>
      {kind === 'item' ? null : (
        <Field
          label="How many"
          inputMode="numeric"
          value={home.number}
          onChange={(event) => onHome({ ...home, number: event.target.value })}
        />
      )}
      <Button kind="quiet" onClick={onAway}>
        Take this home away
      </Button>
    </div>
  );
}

function Homes({
  draft,
  kind,
  thingId,
  error,
  onDraft,
}: Omit<FormProps, 'faults' | 'facts'> & { readonly error: string | undefined }) {
  const { homes } = draft;
  const change = (next: readonly DraftHome[]) => onDraft({ ...draft, homes: next });
  return (
    <fieldset className="thing-group">
      <legend>Where it lives</legend>
      {homes.map((home, at) => (
        <HomeRow
          key={home.id}
          home={home}
          kind={kind}
          thingId={thingId}
          at={at}
          onHome={(next) => change(homes.map((known, index) => (index === at ? next : known)))}
          onAway={() => change(homes.filter((_, index) => index !== at))}
        />
      ))}
      {error ? (
        <p className="field-error" role="alert">
          {error}
        </p>
      ) : null}
      <Button onClick={() => change([...homes, newHome(homes.length === 0 ? 'driving' : 'flying')])}>
        Add a home
      </Button>
    </fieldset>
  );
}

export interface FormProps {
  readonly thingId: string;
  readonly kind: ThingKind;
  /** What is kept: fields that hold something are shown whatever the kind. */
  readonly facts: ThingFacts;
  readonly draft: Draft;
  readonly faults: DraftFaults;
  readonly onDraft: (draft: Draft) => void;
}

export function ThingForm({ thingId, kind, facts, draft, faults, onDraft }: FormProps) {
  const fields = fieldsFor(kind, facts);
  return (
    <>
      {GROUPS.map((group) => {
        const ofGroup = fields.filter((field) => field.group === group);
        if (ofGroup.length === 0) return null;
        return (
          <fieldset key={group} className="thing-group">
            <legend>{group}</legend>
            {ofGroup.map((field) => (
              <FactField
                key={field.key}
                field={field}
                thingId={thingId}
                value={draft.values[field.key] ?? ''}
                error={faults[field.key]}
                onValue={(value) => onDraft({ ...draft, values: { ...draft.values, [field.key]: value } })}
              />
            ))}
          </fieldset>
        );
      })}
      <Homes draft={draft} kind={kind} thingId={thingId} error={faults.homes} onDraft={onDraft} />
    </>
  );
}
