// What the frame says of the backups on every screen: nothing, as long as all is well.
import './backup.css';
import { Link, useLocation } from 'react-router';
import { useBackup } from '../data/backup.ts';
import { Icon } from '../look/icon.tsx';
import { warningOf } from './backup-words.ts';
import { bodyOf } from './parts.tsx';

const ASKED_EVERY_MS = 10 * 60_000;

export function BackupNotice() {
  const state = bodyOf(useBackup(ASKED_EVERY_MS).answer);
  const isOpen = useLocation().pathname === '/backup';
  const warning = state === null ? null : warningOf(state);
  if (warning === null || isOpen) return null;
  return (
    <p className="backup-notice not-on-paper" role="status">
      <Icon name="caution" /> {warning} <Link to="/backup">See to it</Link>
    </p>
  );
}
