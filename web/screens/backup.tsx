// Nothing goes with the laptop: how old the last good backup is, where the files go, one now, and what is there.
import './backup.css';
import { type FormEvent, useState } from 'react';
import type { BackupState } from '#domain/backup.ts';
import type { Refused } from '../data/ask.ts';
import { backUpNow, nameFolder, useBackup } from '../data/backup.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Field } from '../look/field.tsx';
import { Notice } from '../look/notice.tsx';
import { Progress } from '../look/progress.tsx';
import { Tape } from '../look/tape.tsx';
import { showAge, showBytes, wordOfOutcome } from './backup-words.ts';
import { Answered, RefusedNotice, useTitle, WideTable } from './parts.tsx';
import { showTime } from './words.ts';

const ASKED_EVERY_MS = 30_000;

function LastGood({ state, now }: { readonly state: BackupState; readonly now: number }) {
  const { lastGoodAt, standing } = state;
  if (lastGoodAt === null) {
    return <p className="backup-age">{standing === 'new' ? 'No backup yet' : 'No good backup yet'}</p>;
  }
  return (
    <>
      <p className="backup-age">
        <span className="small">Last good one</span>
        {showAge(lastGoodAt, now)}
      </p>
      <p>
        Everything as it was at <strong>{showTime(lastGoodAt)}</strong>.{' '}
        {standing === 'old' ? 'What came since is on this machine only.' : null}
      </p>
    </>
  );
}

/** What is wrong just now, in the service's words; the folder's own trouble first, because it comes before the next one. */
function Trouble({ state }: { readonly state: BackupState }) {
  const { folderTrouble, lastTrouble, lastTriedAt, standing } = state;
  const isSame = folderTrouble === lastTrouble;
  return (
    <>
      {folderTrouble ? (
        <Notice kind="trouble" title="Nothing can be written there now">
          <p>{folderTrouble}</p>
        </Notice>
      ) : null}
      {lastTrouble && !isSame ? (
        <Notice
          kind={standing === 'trouble' ? 'trouble' : 'caution'}
          title={standing === 'trouble' ? 'The last one went wrong' : 'Not tried out'}
        >
          <p>
            {lastTriedAt === null ? null : `${showTime(lastTriedAt)}: `}
            {lastTrouble}
          </p>
        </Notice>
      ) : null}
    </>
  );
}

function Running({ running }: { readonly running: NonNullable<BackupState['running']> }) {
  const label =
    running.step === 'writing' ? 'Writing, in rows' : 'Trying it out by restoring it beside, in rows';
  return (
    <div className="backup-running" role="status">
      {running.all > 0 ? (
        <Progress label={label} done={running.done} all={running.all} />
      ) : (
        <p>{running.step === 'writing' ? 'Beginning …' : 'Reading the file back …'}</p>
      )}
    </div>
  );
}

function Now({ state, onBegun }: { readonly state: BackupState; readonly onBegun: () => void }) {
  const [refused, setRefused] = useState<Refused | null>(null);
  const begin = async () => {
    const answer = await backUpNow();
    setRefused(answer.ok ? null : answer);
    onBegun();
  };
  if (state.running !== null) return <Running running={state.running} />;
  return (
    <>
      {refused ? <RefusedNotice refused={refused} /> : null}
      <Button kind="main" onClick={begin} disabled={state.folder === null}>
        Back up now
      </Button>
    </>
  );
}

function FolderForm({ state, onKept }: { readonly state: BackupState; readonly onKept: () => void }) {
  const [error, setError] = useState<string | undefined>(undefined);
  const keep = async (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const text = String(new FormData(event.currentTarget).get('folder') ?? '').trim();
    const answer = await nameFolder(text === '' ? null : text);
    setError(answer.ok ? undefined : answer.sentence);
    if (answer.ok) onKept();
  };
  return (
    <form onSubmit={keep} className="backup-folder">
      <Field
        key={state.folder}
        label="Folder on the machine that runs the service"
        name="folder"
        defaultValue={state.folder ?? ''}
        autoComplete="off"
        spellCheck={false}
        hint="A synced folder, a stick, another disk. Named from the top, such as /media/stick/tailcount. Empty: none."
        error={error}
      />
      <Button type="submit" kind={state.folder === null ? 'main' : 'plain'}>
        Use this folder
      </Button>
    </form>
  );
}

function FileTable({ state, now }: { readonly state: BackupState; readonly now: number }) {
  if (state.folderTrouble !== null) {
    return (
      <Empty title="It cannot be looked into just now.">
        <p>What is wrong with the folder stands above. The files in it come back with it.</p>
      </Empty>
    );
  }
  if (state.files.length === 0) {
    return (
      <Empty title="No backup of this outfit is there yet.">
        <p>Back up now, or wait: once a day it happens by itself.</p>
      </Empty>
    );
  }
  return (
    <WideTable name="Backup files">
      <table className="figures backup-files">
        <caption className="unseen">Backup files in {state.folder}</caption>
        <thead>
          <tr>
            <th scope="col">As it was at</th>
            <th scope="col" className="number">
              Age
            </th>
            <th scope="col" className="number">
              Size
            </th>
            <th scope="col">Checked</th>
            <th scope="col">File</th>
          </tr>
        </thead>
        <tbody>
          {state.files.map((file, at) => (
            <tr key={file.name}>
              <th scope="row">{showTime(file.at)}</th>
              <td className="number">{showAge(file.at, now)}</td>
              <td className="number">{showBytes(file.bytes)}</td>
              <td>
                {state.running !== null && at === 0 && file.outcome === null
                  ? 'being checked'
                  : wordOfOutcome(file.outcome)}
              </td>
              <td className="backup-name">{file.name}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </WideTable>
  );
}

function MovingHouse({ state }: { readonly state: BackupState }) {
  const name = state.files[0]?.name ?? 'FILE.zip';
  return (
    <section>
      <Tape level={2}>Moving house</Tape>
      <p className="measure">
        On another machine, with nothing in its data folder, this gives the same outfit back. Phones notice
        it, and send again what they wrote down in the last 60 days.
      </p>
      <p className="backup-command">
        <code>npm ci && npm start -- --restore {name}</code>
      </p>
      <p className="measure">
        The file is a ZIP of plain tables and pictures, with a README.txt that says how to read it without
        this program. It is not locked: whoever has the file can read everything in it.
      </p>
    </section>
  );
}

export function BackupScreen() {
  useTitle('Backup');
  const { answer, again } = useBackup(ASKED_EVERY_MS);
  return (
    <>
      <Tape level={1}>Backup</Tape>
      <p className="measure">
        Once a day, and when told, everything goes into one file: the ledger, the facts, the pictures, the
        settings. The file is restored beside and compared before it counts as good. The last fourteen days
        stay.
      </p>
      <Answered answer={answer} onAgain={again}>
        {(state) => (
          <>
            <Trouble state={state} />
            <div className="backup-top">
              <section className="card backup-last" aria-label="Last good backup">
                <LastGood state={state} now={Date.now()} />
                <Now state={state} onBegun={again} />
              </section>
              <FolderForm state={state} onKept={again} />
            </div>
            <section>
              <Tape level={2}>What is there</Tape>
              {state.folder === null ? (
                <Empty title="No folder is named yet.">
                  <p>Name one above. Until then everything is on this machine only.</p>
                </Empty>
              ) : (
                <FileTable state={state} now={Date.now()} />
              )}
            </section>
            <MovingHouse state={state} />
          </>
        )}
      </Answered>
    </>
  );
}
