// Browser functions for the bench sheet: storage, the server, files, keys. Called from Platform/BrowserModule.cs.

export function keys(prefix) {
  try { return Object.keys(localStorage).filter(key => key.startsWith(prefix)); } catch { return []; }
}

export function read(key) {
  try { return localStorage.getItem(key); } catch { return null; }
}

export function write(key, text) {
  try { localStorage.setItem(key, text); return true; } catch { return false; }
}

// Status and text, separated by a line end; status 0 where no answer came.
async function answer(url, options) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), 15000);
  try {
    const response = await fetch(url, { ...options, cache: 'no-store', credentials: 'same-origin', signal: stop.signal });
    return response.status + '\n' + await response.text();
  } catch {
    return '0\n';
  } finally {
    clearTimeout(timer);
  }
}

export const get = url => answer(url, {});

export const post = (url, json, token) =>
  answer(url, { method: 'POST', body: json, headers: { 'Content-Type': 'application/json', 'X-VibeCheck-Token': token } });

export function save(name, text) {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([text], { type: 'text/csv' }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

export async function chosenText(id) {
  const input = document.getElementById(id);
  const text = await input?.files[0]?.text() ?? null;
  if (input) { input.value = ''; }
  return text;
}

export function listen(onWake, onKey) {
  addEventListener('online', () => onWake());
  addEventListener('storage', () => onWake());
  document.addEventListener('visibilitychange', () => { if (!document.hidden) { onWake(); } });
  addEventListener('keydown', event => {
    const field = event.target.closest?.('input:not([type=checkbox]), textarea');
    const isButton = event.target.closest?.('button, [role=button], a') && (event.key === 'Enter' || event.key === ' ');
    if (!field && !isButton && !event.altKey && !event.metaKey && (!event.ctrlKey || event.key === 'z')) {
      onKey((event.ctrlKey ? 'Ctrl+' : '') + event.key);
    }
  });
}

export function ready() {
  document.body.dataset.ready = 'true';
  performance.mark('sheet-ready');
  dispatchEvent(new Event('sheet-ready'));
}

export function tapRehearsal() {
  const rehearsal = document.querySelector('.rehearsal');

  // Reading a measure forces the browser to lay out the screen.
  rehearsal?.getBoundingClientRect();
  setTimeout(() => rehearsal?.querySelector('.pad .act')?.click(), 0);
}

export function rehearsed() {
  document.body.dataset.rehearsed = 'true';
  performance.mark('sheet-rehearsed');
}

// A hidden page draws no frames.
export const painted = () => new Promise(done => {
  setTimeout(done, 200);
  requestAnimationFrame(() => setTimeout(done, 0));
});

export const scrollToTop = () => scrollTo(0, 0);
