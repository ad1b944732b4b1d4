/** The page: asks the engine and draws what it answers. */
import { render } from "preact";
import { Card } from "./page/card";
import { Count } from "./page/count";
import { Need } from "./page/need";
import { Plan } from "./page/plan";
import { preparePrint } from "./page/print";
import { Race } from "./page/race";
import { Ration } from "./page/ration";
import { Regroup } from "./page/regroup";
import { Result } from "./page/result";
import { Start } from "./page/start";
import { Impossible, Unreadable } from "./page/stopped";
import { Foot, State, Top } from "./part/frame";
import { openRoom, wantedRoom, watchBack } from "./store/back";
import { ROOMS, screen } from "./store/screen";
import { keepSite } from "./store/site";
import { openRace } from "./store/journal/race";
import { begin, demo, openDemo, reply } from "./store/sort";
import "./style/token.css";
import "./style/base.css";
import "./style/frame.css";
import "./style/start.css";
import "./style/result.css";
import "./style/strip.css";
import "./style/need.css";
import "./style/hand.css";
import "./style/room.css";
import "./style/plan.css";
import "./style/race.css";
import "./style/race-gate.css";
import "./style/race-wide.css";
import "./style/race-narrow.css";
import "./style/race-page.css";
import "./style/print.css";

function App() {
  // At the race the whole screen is hers.
  if (screen.value === "race")
    return (
      <>
        <State />
        <Race />
      </>
    );
  return (
    <>
      <Top />
      <State />
      <Screen />
      <Foot />
    </>
  );
}

function Screen() {
  const answer = reply.value;
  if (screen.value === "need") return <Need />;
  if (screen.value === "regroup") return <Regroup />;
  if (screen.value === "card") return <Card />;
  if (screen.value === "count") return <Count />;
  if (screen.value === "plan") return <Plan />;
  if (screen.value === "ration") return <Ration />;
  if (screen.value === "start" || !answer) return <Start />;
  switch (answer.kind) {
    case "sorted":
      return <Result view={answer.view} />;
    case "impossible":
      return <Impossible view={answer.view} />;
    case "unreadable":
      return <Unreadable headline={answer.headline} problems={answer.problems} question={answer.question} />;
  }
}

function goToRoom(): void {
  const room = wantedRoom();
  if (room) openRoom(room);
}

const wantsDemo = () => location.hash === "#demo";

async function open(): Promise<void> {
  goToRoom();
  const begun = begin();
  // Not only once the room is drawn: a long journal takes longest of all.
  if (screen.value === "race") void openRace();
  await begun;
  // What keeps the site fetches all of it: on a poor signal the race comes first.
  void keepSite();
  if (wantsDemo()) await openDemo();
}

const [app, paper] = [document.getElementById("app"), document.getElementById("print")];
if (app && paper) {
  watchBack();
  // Asked first, so that the first picture already says that the engine starts.
  void open();
  render(<App />, app);
  preparePrint(paper);
  addEventListener("hashchange", ({ oldURL }) => {
    // The way back from a room to the demo's pens: they are there still, with what was kept by hand.
    const back = ROOMS.some((room) => oldURL.endsWith(`#${room}`)) && demo.value !== null;
    if (wantsDemo() && !back) void openDemo();
    goToRoom();
  });
}
