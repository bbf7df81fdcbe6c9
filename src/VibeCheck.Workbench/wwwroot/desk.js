// Sends dropped logs to the workbench, one after the other, with progress. Everything else is done by the page itself.
const token = () => document.querySelector('meta[name=vibecheck-token]').content;
const list = () => document.getElementById('uploads');
const waiting = [];
let busy = false;

function line(name) {
  const item = document.createElement('li');
  const label = document.createElement('span'), bar = document.createElement('progress'), stop = document.createElement('button');
  label.textContent = name;
  bar.max = 1;
  bar.value = 0;
  bar.setAttribute('aria-label', 'Copied of ' + name);
  stop.type = 'button';
  stop.textContent = 'Stop';
  item.append(label, bar, stop);
  list()?.append(item);
  return { item, label, bar, stop };
}

function send({ file, name, row }) {
  return new Promise(done => {
    const request = new XMLHttpRequest();
    const fail = text => {
      row.item.classList.add('failed');
      row.label.textContent = name + ': ' + text;
      row.bar.remove();
      row.stop.textContent = 'Dismiss';
      row.stop.onclick = () => row.item.remove();
      done();
    };
    request.upload.onprogress = e => { if (e.lengthComputable) { row.bar.value = e.loaded / e.total; } };
    request.onload = () => {
      if (request.status === 200) {
        row.item.remove();
        done();
      } else {
        fail(request.responseText || 'it was not taken (' + request.status + ')');
      }
    };
    request.onerror = () => fail('the workbench did not answer. Is it still running? Then drop the log again.');
    request.onabort = () => { row.item.remove(); done(); };
    row.stop.onclick = () => request.abort();
    request.open('PUT', 'logs?name=' + encodeURIComponent(name) + '&modified=' + Math.round(file.lastModified || 0));
    request.setRequestHeader('X-VibeCheck-Token', token());
    request.send(file);
  });
}

async function work() {
  if (busy) { return; }
  busy = true;
  while (waiting.length > 0) { await send(waiting.shift()); }
  busy = false;
}

function add(file, name) {
  const entry = { file, name, row: line(name) };
  entry.row.stop.onclick = () => {
    waiting.splice(waiting.indexOf(entry), 1);
    entry.row.item.remove();
  };
  waiting.push(entry);
  work();
}

async function walk(entry) {
  if (entry.isFile) {
    const file = await new Promise((ok, no) => entry.file(ok, no));
    if (/\.(csv|tsv)(\.gz)?$/i.test(file.name) || entry.isChosen) { add(file, entry.fullPath.replace(/^\//, '')); }
  } else if (entry.isDirectory) {
    const reader = entry.createReader();
    for (;;) {
      const some = await new Promise((ok, no) => reader.readEntries(ok, no));
      if (some.length === 0) { break; }
      for (const each of some) { await walk(each); }
    }
  }
}

addEventListener('change', e => {
  if (e.target.matches?.('input[data-logs]')) {
    for (const file of e.target.files) { add(file, file.webkitRelativePath || file.name); }
    e.target.value = '';
  }
});

const zone = e => document.querySelector('[data-drop]') && [...(e.dataTransfer?.types ?? [])].includes('Files');
addEventListener('dragover', e => {
  if (zone(e)) {
    e.preventDefault();
    document.querySelector('[data-drop]').classList.add('over');
  }
});
addEventListener('dragleave', e => { if (!e.relatedTarget) { document.querySelector('[data-drop]')?.classList.remove('over'); } });
addEventListener('drop', async e => {
  if (!zone(e)) { return; }
  e.preventDefault();
  document.querySelector('[data-drop]').classList.remove('over');
  const entries = [...e.dataTransfer.items].map(i => i.webkitGetAsEntry?.()).filter(Boolean);
  for (const entry of entries) {
    entry.isChosen = entry.isFile;
    await walk(entry);
  }
});

// The page is live while the workbench answers. While the connection is down, taps and typing are refused and a line says so: otherwise the
// browser would accept them, and they would be lost. Before the first connection first-taps.js keeps them.
const bar = document.getElementById('components-reconnect-modal');
const unsure = [], unsent = new Map();
let server = null, isLive = false, wasLive = false, comesBack = false, answersSince = null;

function setLive(now) {
  isLive = now;
  wasLive ||= now;
  document.body.toggleAttribute('data-live', now);
  bar.classList.toggle('held', !now);
  if (now) {
    answersSince = null;
    bar.classList.remove('adrift', 'stopped');
  }
}

/** Called by the workbench once the page is connected; page is the object that answers for the workbench. */
globalThis.vibecheck = {
  async live(page) {
    server = page;
    const left = await firstTaps.carryOutAll(() => within(ask(), patienceMs, false));
    setLive(!isDown());
    tell('Not carried out, because the page was not connected yet', left);
  },
};

const down = ['show', 'retrying', 'failed', 'rejected'].map(c => 'components-reconnect-' + c);
const isDown = () => down.some(c => bar.classList.contains(c));
const within = (work, ms, otherwise) => Promise.race([work, new Promise(late => setTimeout(() => late(otherwise), ms))]);

async function ask() {
  try {
    await server.invokeMethodAsync('Answer');
    return true;
  } catch {
    return false;
  }
}

/** Asks until the workbench answers through the new connection; it has then handled everything sent before. */
async function comeBack() {
  comesBack = true;
  while (!isDown() && !isLive) {
    if (await within(ask(), 2000, false) && !isDown()) {
      tellUnsure();
      setLive(true);
      sendAgain();
    } else {
      await new Promise(next => setTimeout(next, 200));
    }
  }
  comesBack = false;
}

/** The content of a field may not have arrived; it is sent again, which changes nothing where it has arrived. */
function sendAgain() {
  for (const [field, kinds] of [...unsent]) {
    for (const kind of kinds.keys()) { field.dispatchEvent(new Event(kind, { bubbles: true })); }
  }
}

/** Where the connection broke after a tap, it is not known whether the tap was handled; sent again, a reading might be added twice. */
const tellUnsure = () => tell('The connection broke just after you tapped', unsure.splice(0));

function tell(what, controls) {
  const note = document.getElementById('unsure'), names = [...new Set(controls)];
  note.hidden = names.length === 0;
  note.firstElementChild.textContent = `${what}: ${names.join(', ')}. Look whether it was taken; if not, tap again.`;
}

new MutationObserver(() => {
  if (isDown()) {
    setLive(false);
  } else if (!isLive && server && !comesBack) {
    comeBack();
  }
}).observe(bar, { attributes: true, attributeFilter: ['class'] });

function refuse(e) {
  // Links and the selection of files work before the page is live, and folding a section needs no workbench.
  const works = e.type === 'click' && e.target.closest?.('summary, #anew');
  if (isLive || !wasLive || !e.isTrusted || works) { return; }
  e.preventDefault();
  e.stopImmediatePropagation();
  bar.classList.add('held');
}

for (const kind of ['click', 'beforeinput']) { addEventListener(kind, refuse, true); }
addEventListener('keydown', e => {
  if (e.key === 'Enter' && e.target.matches?.('input[type=text], [role=button]') || e.key === ' ' && e.target.matches?.('[role=button]')) { refuse(e); }
}, true);

// A tap or the content of a field has arrived once the workbench has answered a call that was made after it.
addEventListener('click', async e => {
  const button = e.target.closest?.('main button, main [role=button]');
  if (!button) { return; }
  const name = button.getAttribute('aria-label') ?? button.textContent.trim();
  unsure.push(name);
  if (await ask()) { unsure.splice(unsure.indexOf(name), 1); }
});

for (const kind of ['input', 'change']) {
  addEventListener(kind, async e => {
    const field = e.target, mark = {};
    if (field.type === 'file' || !field.closest?.('main')) { return; }
    if (!unsent.has(field)) { unsent.set(field, new Map()); }
    unsent.get(field).set(kind, mark);
    if (await ask() && unsent.get(field)?.get(kind) === mark) {
      unsent.get(field).delete(kind);
      if (unsent.get(field).size === 0) { unsent.delete(field); }
    }
  });
}

document.querySelector('#unsure button').addEventListener('click', () => { document.getElementById('unsure').hidden = true; });

document.getElementById('anew').addEventListener('click', () => location.reload());

// Reconnection is tried for as long as the page is open. A request without an answer is aborted soon, together with its connection: the
// browser would otherwise reuse a connection that it does not know to be dead, and the library waits 100 s for each request.
const nextTryMs = 2000, giveUpMs = 8000, patienceMs = 20000;

/** The library can end its attempts, or treat a connection as intact that the page does not use; it then does not try again by itself. */
async function mend() {
  const again = await within(Blazor.reconnect().catch(() => false), giveUpMs, false);
  if (again && await within(ask(), 2000, false)) {
    bar.classList.remove(...down);
  } else if (!isLive) {
    bar.classList.add('adrift');
  }
}

// A restarted workbench does not know this page any more; the page says so at once, not after the last failed attempt. Where the workbench
// answers but the page stays without a connection, the page asks for one; where that fails too, the page says so instead of waiting for
// ever.
let looks = false;
setInterval(async () => {
  if (looks || isLive || !server) { return; }
  looks = true;
  try {
    const { ok, status } = await fetch('icon.svg', { cache: 'no-store', signal: AbortSignal.timeout(giveUpMs / 2) });
    bar.classList.toggle('stopped', status === 403);
    answersSince = ok ? answersSince ?? Date.now() : null;
    const hasEnded = ['failed', 'rejected'].some(c => bar.classList.contains('components-reconnect-' + c));
    if (ok && !isLive && (hasEnded || Date.now() - answersSince > patienceMs)) { await mend(); }
  } catch {
    // Nothing answers yet.
    answersSince = null;
  }
  looks = false;
}, nextTryMs);

// The list of further scripts is not requested: one request less before the page is live. The connection is negotiated, although a
// WebSocket could be opened at once: after a stall of the workbench such a connection opened before the end of the old one was noticed, and
// hung.
Blazor.start({
  circuit: {
    initializers: { beforeStart: [], afterStarted: [] },
    configureSignalR: builder => builder.withUrl('_blazor', { timeout: giveUpMs }),
    reconnectionOptions: { maxRetries: undefined, retryIntervalMilliseconds: tries => tries === 0 ? 0 : nextTryMs },
  },
});
