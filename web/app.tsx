// The desk: which screen an address opens. An outfit that does not exist yet has one page, to begin.
import { BrowserRouter, Navigate, Route, Routes } from 'react-router';
import { outfitSchema } from '#domain/place.ts';
import { useAnswer } from './data/use-answer.ts';
import { Empty } from './look/empty.tsx';
import { BeginScreen } from './screens/begin.tsx';
import { BringInScreen } from './screens/bring-in.tsx';
import { CountScreen } from './screens/count.tsx';
import { CountsScreen } from './screens/counts.tsx';
import { FindScreen } from './screens/find.tsx';
import { FrameLayout } from './screens/frame.tsx';
import { BlockLabelsScreen, ThingLabelsScreen } from './screens/labels.tsx';
import { RefusedNotice } from './screens/parts.tsx';
import { StillOutScreen } from './screens/still-out.tsx';
import { TagsScreen } from './screens/tags.tsx';
import { ThingScreen } from './screens/thing.tsx';
import { WhereScreen } from './screens/where.tsx';

function NoSuchPage() {
  return (
    <Empty title="There is no such page.">
      <p>Choose one above.</p>
    </Empty>
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
          <Route path="things/:thingId" element={<ThingScreen />} />
          <Route path="counts" element={<CountsScreen />} />
          <Route path="counts/:stopId/:round" element={<CountScreen />} />
          <Route path="still-out" element={<StillOutScreen />} />
          <Route path="bring-in" element={<BringInScreen />} />
          <Route path="tags" element={<TagsScreen />} />
          <Route path="tags/:blockId" element={<BlockLabelsScreen />} />
          <Route path="tags/label/:thingId" element={<ThingLabelsScreen />} />
          <Route path="*" element={<NoSuchPage />} />
        </Route>
      </Routes>
    </BrowserRouter>
  );
}
