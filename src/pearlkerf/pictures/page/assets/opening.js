// Opens the page: unpacks the run, and shows the start of its first program or the first thing that is wrong.

import { find } from "./elements.js";
import { Track } from "./track.js";
import { unpackMotions, unpackText } from "./unpack.js";
import { Viewer } from "./viewer.js";

const emptyTrack = (program, lines) =>
  new Track({ ...program, begin: [null, null, null], known: [0, 0, 0], events: [], sections: [] }, { count: 0, starts: [0], line: [], flags: [] }, lines);

const openPage = async () => {
  const run = JSON.parse(find("run").textContent);
  const tracks = [];
  for (const program of run.programs) {
    const motions = program.rows ? await unpackMotions(program) : null;
    const lines = await unpackText(program, motions);
    tracks.push(motions ? new Track(program, motions, lines) : emptyTrack(program, lines));
  }
  const viewer = new Viewer(run, tracks);
  const failing = run.findings.findIndex((each) => each.program >= 0 && each.line);
  if (!run.setups.length) viewer.picture.shows = "all";
  if (failing >= 0) {
    viewer.open(run.findings[failing].program, 0);
    viewer.goToFinding(failing);
  } else {
    viewer.open(0);
  }
  document.documentElement.dataset.ready = performance.now().toFixed(0);
};

openPage().catch((fault) => {
  find("notice").hidden = false;
  find("notice").textContent = `The picture cannot be drawn in this browser (${fault.message}). The words below tell the same.`;
  throw fault;
});
