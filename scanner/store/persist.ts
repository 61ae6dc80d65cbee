// Asks the browser once to keep what is here for good. It may say no; then it may clear it when the phone is full.
import { type Database, STRICT } from './database.ts';
import { installationFrom } from './write-down.ts';

export async function askToPersistOnce(database: Database): Promise<void> {
  const tx = database.transaction('head', 'readwrite', STRICT);
  const installation = installationFrom(await tx.store.get('installation'));
  if (!installation.persistAsked) await tx.store.put({ ...installation, persistAsked: true }, 'installation');
  await tx.done;
  if (installation.persistAsked || !('storage' in navigator)) return;
  await navigator.storage.persist().catch(() => false);
}
