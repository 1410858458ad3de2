// Whether the window's kernel answers, and is still the process that the page was drawn by. A restart
// from elsewhere sends nothing to a page, and what is sent may be lost on the way; so the kernel is
// asked at every start and reconnection, when the page is touched, and while a part waits. One that
// is busy answers late, and is waited for.

const ANSWER_MS = 2000; // within which an idle kernel answers
const LOST_MS = 700; // after an answer, what was asked for before it has come, or never will
const TOUCHED_MS = 3000; // between two questions for touches alone
const WAIT_MS = 1000; // that a part waits before the kernel is asked
const RETRY_MS = 1000;
const ASK_AGAIN_MS = 4000; // a question that reached a kernel just as it ended has no answer
const CUT_MS = 10_000; // of a kernel that is not at work: without an answer for so long, the connection is dead
const SOON_AGAIN_MS = 60_000; // what is lost again so soon has another cause than the way
const MOST_RESTARTS = 3; // within that time

// `heal` runs the page again, in a kernel that is new if the old one is gone; `say` tells the news.
const makeWatch = (services, { heal, say }) => {
  const waits = new Map(); // what waits for the kernel, and since when
  const runs = []; // when the page was run again because something was lost
  let asked = { kernel: null, questions: [] }; // those without an answer
  let isLooking = false;
  let isDoubted = false;
  let answeredAt = -Infinity;
  let wasAway = false;

  const wait = (key) => {
    const isNew = !waits.has(key);
    waits.set(key, performance.now());
    if (isNew) setTimeout(() => waits.has(key) && look(), WAIT_MS);
  };
  const end = (key) => waits.delete(key);
  const lost = (before) => [...waits.values()].some((since) => since < before);

  const forgetQuestions = () => (asked = { kernel: null, questions: [] });
  // Return the answer to any question that has none yet, with when it was asked.
  const askAnew = (kernel) => {
    if (asked.kernel !== kernel) asked = { kernel, questions: [] };
    const at = performance.now();
    if (!asked.questions.length || at - asked.questions.at(-1).at > ASK_AGAIN_MS) {
      const answer = ask(kernel, "process()").then(
        ({ process }) => ({ at, process }),
        (error) => ({ at, error }),
      );
      asked.questions.push({ at, answer });
    }
    return Promise.race(asked.questions.map((question) => question.answer));
  };

  const reconnect = (kernel) => {
    forgetQuestions();
    kernel.reconnect().catch(() => {}); // it is looked at again
  };

  // No answer yet: it is busy, cut off, or gone. A connection that is being made takes as long as the
  // kernel needs to start, and is made again by itself, but ever more rarely.
  const late = async (kernel) => {
    const [{ at }] = asked.questions;
    const state = await stateOf(services, kernel.id);
    if (kernel !== here.kernel) return undefined;
    if (state === "gone") return heal({ fresh: true });
    const isBack = wasAway && state !== "unreachable";
    wasAway = state === "unreachable";
    say(wasAway ? "away" : "busy");
    const { connectionStatus } = kernel;
    // one that is stopped says it is idle: a new connection to it is made once it goes on
    const isDead = connectionStatus === "connected" && state !== "busy" && performance.now() - at > CUT_MS;
    if (isDead || (!wasAway && connectionStatus === "disconnected")) reconnect(kernel);
    else if (isBack && connectionStatus !== "connected") reconnect(kernel);
    return wasAway ? pause(RETRY_MS) : undefined;
  };

  // What was asked for is lost though the kernel answers: the page is run again, and if that does
  // not help, or the kernel cannot answer any more, it is started anew.
  const mend = async (kernel, isBroken) => {
    const now = performance.now();
    runs.push(now);
    const soon = runs.filter((at) => now - at < SOON_AGAIN_MS).length;
    if (soon > MOST_RESTARTS) {
      waits.clear();
      return say("failed");
    }
    if (soon > 1 || isBroken) await kernel.restart().catch(() => {}); // looked at again in any case
    return heal({ fresh: false });
  };

  // Return whether all is well.
  const settle = async () => {
    const kernel = here.kernel;
    if (!kernel) return void (await pause(RETRY_MS)); // it is being started
    if (kernel.isDisposed || kernel.status === "dead") return void heal({ fresh: true });
    const answer = await within(askAnew(kernel), ANSWER_MS);
    if (kernel !== here.kernel) return false;
    if (answer === LATE) return void (await late(kernel));
    forgetQuestions();
    if (answer.error) {
      if (!(answer.error instanceof NoAnswerError)) return void (await pause(RETRY_MS)); // cut off
      return void (await mend(kernel, true));
    }
    answeredAt = performance.now();
    wasAway = false;
    if (here.process && answer.process !== here.process) return void heal({ fresh: false });
    if (lost(answer.at)) {
      await pause(LOST_MS);
      if (kernel === here.kernel && lost(answer.at)) await mend(kernel, false);
      return false;
    }
    say("");
    return true;
  };

  const look = async () => {
    isDoubted = true;
    if (isLooking) return;
    isLooking = true;
    while (isDoubted || waits.size) {
      isDoubted = false;
      if (!(await settle())) isDoubted = true;
      else if (waits.size) await pause(RETRY_MS);
    }
    isLooking = false;
  };

  const touched = () => {
    if (performance.now() - answeredAt > TOUCHED_MS) look();
  };
  for (const name of ["pointerdown", "keydown", "input", "focusin"]) {
    document.addEventListener(name, touched, { capture: true, passive: true });
  }
  document.addEventListener("visibilitychange", () => document.hidden || look());
  addEventListener("offline", look);
  addEventListener("online", () => {
    // the browser may have left a dead connection open
    if (here.kernel?.connectionStatus === "connected") reconnect(here.kernel);
    look();
  });
  document.addEventListener("cubital-waiting", ({ detail: { part: one, waits: yes } }) => {
    if (yes && isEarly(one)) return; // nothing was asked
    if (yes) wait(one);
    else end(one);
  });

  return {
    // Watch a kernel from now on.
    follow: (kernel) => {
      for (const change of ["statusChanged", "connectionStatusChanged", "disposed"]) {
        kernel[change].connect(() => {
          const isQuiet = ["idle", "busy"].includes(kernel.status) && kernel.connectionStatus === "connected";
          if (kernel === here.kernel && !(change === "statusChanged" && isQuiet)) look();
        });
      }
    },
    // Wait for what was asked of the kernel, as a part does.
    waited: (promise) => {
      const key = {};
      wait(key);
      return promise.finally(() => end(key));
    },
    // What waited is taken off the page.
    forget: () => waits.clear(),
    // Running the page ended too early: it is run again as soon as the kernel answers.
    undone: () => {
      wait({});
      look();
    },
  };
};
