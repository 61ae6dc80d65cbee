// The question of a move: where to, how many of what is counted, why where that can be several things, and the spot.
import { type FormEvent, useId, useState } from 'react';
import { NUMBER_MAX, type Reason } from '#domain/movement.ts';
import { findMoveFault, type Movable, type MovePlan, reasonsFor } from '../data/place-moves.ts';
import type { PlaceNode, Places } from '../data/places.ts';
import { Button } from '../look/button.tsx';
import { Dialog } from '../look/dialog.tsx';
import { Field } from '../look/field.tsx';
import { PlaceChoice } from './place-choice.tsx';
import { showNumber, WORD_OF_REASON } from './words.ts';

interface MoveDialogProps {
  readonly moved: readonly Movable[];
  readonly toId: string | null;
  readonly places: Places;
  readonly onMove: (plan: MovePlan) => void;
  readonly onClose: () => void;
}

function NumberField({
  one,
  value,
  onChange,
}: {
  readonly one: Movable;
  readonly value: string;
  readonly onChange: (text: string) => void;
}) {
  const there = `${showNumber(one.number)}${one.unit === null ? '' : ` ${one.unit}`} there`;
  return (
    <Field
      label={`How many: ${one.name}`}
      hint={there}
      type="number"
      inputMode="numeric"
      min={1}
      max={NUMBER_MAX}
      required
      value={value}
      onChange={(event) => onChange(event.target.value)}
    />
  );
}

function ReasonChoice({
  reasons,
  why,
  onChoose,
}: {
  readonly reasons: readonly Reason[];
  readonly why: Reason;
  readonly onChoose: (why: Reason) => void;
}) {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>Why</label>
      <select
        id={id}
        value={why}
        onChange={({ target }) => onChoose(reasons.find((one) => one === target.value) ?? why)}
      >
        {reasons.map((reason) => (
          <option key={reason} value={reason}>
            {WORD_OF_REASON[reason]}
          </option>
        ))}
      </select>
    </div>
  );
}

export function MoveDialog({ moved, toId, places, onMove, onClose }: MoveDialogProps) {
  const form = useId();
  const [to, setTo] = useState<PlaceNode | null>(() => places.byId.get(toId ?? '') ?? null);
  const [why, setWhy] = useState<Reason | null>(null);
  const [spot, setSpot] = useState('');
  const [texts, setTexts] = useState<ReadonlyMap<Movable, string>>(new Map());
  const counted = moved.filter(({ kind }) => kind !== 'item');
  const reasons = to === null ? [] : reasonsFor(to.kind);
  const fault = to === null ? null : findMoveFault(moved, to, places);
  const textOf = (one: Movable) => texts.get(one) ?? String(Math.max(1, one.number));
  const send = (event: FormEvent) => {
    event.preventDefault();
    if (to === null || fault !== null) return;
    const numbers = new Map(counted.map((one) => [one, Number(textOf(one))]));
    const [usual] = reasonsFor(to.kind);
    const said = reasons.find((reason) => reason === why) ?? usual;
    onMove({ moved, toId: to.id, why: said, spot: spot.trim() === '' ? null : spot.trim(), numbers });
  };
  const [first] = moved;
  const what = moved.length === 1 && first ? first.name : `${showNumber(moved.length)} things`;
  return (
    <Dialog
      open
      title={`Move ${what}`}
      onClose={onClose}
      ways={
        <>
          <Button onClick={onClose}>Leave it where it is</Button>
          <Button kind="main" type="submit" form={form} disabled={to === null || fault !== null}>
            Move
          </Button>
        </>
      }
    >
      <form id={form} onSubmit={send}>
        <PlaceChoice label="Where to" places={places} chosen={to} error={fault} onChoose={setTo} />
        {counted.length > 0 ? (
          <div className="move-numbers">
            {counted.map((one) => (
              <NumberField
                key={`${one.thingId} ${one.fromId}`}
                one={one}
                value={textOf(one)}
                onChange={(text) => setTexts((before) => new Map([...before, [one, text]]))}
              />
            ))}
          </div>
        ) : null}
        {reasons.length > 1 ? (
          <ReasonChoice reasons={reasons} why={why ?? reasons[0] ?? 'tidy'} onChoose={setWhy} />
        ) : null}
        <Field
          label="Spot"
          hint="A few words on where exactly, such as “on charge”. May stay empty."
          maxLength={500}
          value={spot}
          onChange={(event) => setSpot(event.target.value)}
        />
      </form>
    </Dialog>
  );
}
