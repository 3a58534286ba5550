// How fast the page follows the hand: from an input to the frame that shows it. Not
// loaded by the page; whoever measures imports it and asks for times.

export const times = { level: [], lamp: [] }; // ms

const begun = { level: 0, lamp: 0 };

// later is when the frame that is being made has been handed on.
function later(then) {
  const c = new MessageChannel();
  c.port1.onmessage = then;
  c.port2.postMessage(0);
}

document.addEventListener("keydown", (e) => { if (e.target.dataset?.level !== undefined) begun.level = e.timeStamp; }, true);
document.addEventListener("pointermove", (e) => { if (e.target.classList?.contains("lamp") && !begun.lamp) begun.lamp = e.timeStamp; }, true);
document.addEventListener("painted", (e) => later(() => {
  const kind = e.detail === null ? "level" : "lamp";
  if (begun[kind]) times[kind].push(performance.now() - begun[kind]);
  begun[kind] = 0;
}));
