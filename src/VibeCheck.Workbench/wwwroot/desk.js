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

// A workbench that was started again does not know this page any more: said at once, not when the last attempt has failed.
const lost = document.getElementById('components-reconnect-modal');
let asks = false;
setInterval(async () => {
  if (asks || getComputedStyle(lost).display === 'none') { return; }
  asks = true;
  try {
    lost.classList.toggle('stopped', (await fetch('icon.svg', { cache: 'no-store' })).status === 403);
  } catch {
    // Nothing answers yet.
  }
  asks = false;
}, 2000);
