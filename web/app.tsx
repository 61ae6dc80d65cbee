// The desk: which screen an address opens. An outfit that does not exist yet has one page, to begin.
import { type ComponentType, lazy } from 'react';
import { BrowserRouter, Navigate, Route, Routes } from 'react-router';
import { outfitSchema } from '#domain/place.ts';
import { useAnswer } from './data/use-answer.ts';
import { Empty } from './look/empty.tsx';
import { Tape } from './look/tape.tsx';
import { BeginScreen } from './screens/begin.tsx';
import { FrameLayout } from './screens/frame.tsx';
import { RefusedNotice, useTitle } from './screens/parts.tsx';

/** A screen that is fetched when it is first opened. */
const later = (load: () => Promise<ComponentType>) => lazy(async () => ({ default: await load() }));

const WhereScreen = later(async () => (await import('./screens/where.tsx')).WhereScreen);
const FindScreen = later(async () => (await import('./screens/find.tsx')).FindScreen);
const ThingScreen = later(async () => (await import('./screens/thing.tsx')).ThingScreen);
const NewThingScreen = later(async () => (await import('./screens/new-thing.tsx')).NewThingScreen);
const MergeScreen = later(async () => (await import('./screens/merge.tsx')).MergeScreen);
const CountsScreen = later(async () => (await import('./screens/counts.tsx')).CountsScreen);
const CountScreen = later(async () => (await import('./screens/count.tsx')).CountScreen);
const WrapSheetScreen = later(async () => (await import('./screens/wrap-sheet.tsx')).WrapSheetScreen);
const JobsScreen = later(async () => (await import('./screens/jobs.tsx')).JobsScreen);
const JobScreen = later(async () => (await import('./screens/job.tsx')).JobScreen);
const StopScreen = later(async () => (await import('./screens/stop.tsx')).StopScreen);
const JobCountsScreen = later(async () => (await import('./screens/job-counts.tsx')).JobCountsScreen);
const FromPaperScreen = later(async () => (await import('./screens/from-paper.tsx')).FromPaperScreen);
const StillOutScreen = later(async () => (await import('./screens/still-out.tsx')).StillOutScreen);
const ToLookAtScreen = later(async () => (await import('./screens/to-look-at.tsx')).ToLookAtScreen);
const BringInScreen = later(async () => (await import('./screens/bring-in.tsx')).BringInScreen);
const BackupScreen = later(async () => (await import('./screens/backup.tsx')).BackupScreen);
const TagsScreen = later(async () => (await import('./screens/tags.tsx')).TagsScreen);
const LabelsScreen = later(async () => (await import('./screens/labels.tsx')).LabelsScreen);
const BlockLabelsScreen = later(async () => (await import('./screens/labels.tsx')).BlockLabelsScreen);
const ThingLabelsScreen = later(async () => (await import('./screens/labels.tsx')).ThingLabelsScreen);

function NoSuchPage() {
  useTitle('No such page');
  return (
    <>
      <Tape level={1}>No such page</Tape>
      <Empty title="There is nothing at this address.">
        <p>Choose a screen above, or search for what you are after.</p>
      </Empty>
    </>
  );
}

export function DeskApp() {
  const { answer, again } = useAnswer('/api/outfit', outfitSchema);
  if (answer === 'loading') return <p className="waiting">Opening the outfit …</p>;
  if (!answer.ok && answer.kind === 'no-outfit') return <BeginScreen onBegun={again} />;
  if (!answer.ok) {
    return (
      <main className="begin">
        <RefusedNotice refused={answer} onAgain={again} />
      </main>
    );
  }
  return (
    <BrowserRouter>
      <Routes>
        <Route element={<FrameLayout outfit={answer.body} />}>
          <Route index element={<Navigate to="/where" replace />} />
          <Route path="where/:placeId?" element={<WhereScreen />} />
          <Route path="find" element={<FindScreen />} />
          <Route path="things/new" element={<NewThingScreen />} />
          <Route path="things/:thingId" element={<ThingScreen />} />
          <Route path="things/:thingId/merge" element={<MergeScreen />} />
          <Route path="counts" element={<CountsScreen />} />
          <Route path="counts/:stopId/:round" element={<CountScreen />} />
          <Route path="counts/:stopId/:round/sheet" element={<WrapSheetScreen />} />
          <Route path="jobs" element={<JobsScreen />} />
          <Route path="jobs/:jobId" element={<JobScreen />} />
          <Route path="jobs/:jobId/counts" element={<JobCountsScreen />} />
          <Route path="counts/:stopId/:round/from-paper" element={<FromPaperScreen />} />
          <Route path="stops/:stopId" element={<StopScreen />} />
          <Route path="still-out" element={<StillOutScreen />} />
          <Route path="to-look-at" element={<ToLookAtScreen />} />
          <Route path="bring-in" element={<BringInScreen />} />
          <Route path="labels" element={<LabelsScreen />} />
          <Route path="backup" element={<BackupScreen />} />
          <Route path="tags" element={<TagsScreen />} />
          <Route path="tags/:blockId" element={<BlockLabelsScreen />} />
          <Route path="tags/label/:thingId" element={<ThingLabelsScreen />} />
          <Route path="*" element={<NoSuchPage />} />
        </Route>
      </Routes>
    </BrowserRouter>
  );
}
