// Starts the sheet, or shows a message where the browser cannot run it, and caches its files for use without a network.
const failed = text => {
  document.getElementById('app').textContent = text;
};

if (typeof WebAssembly === 'object') {
  Blazor.start().catch(() => failed('The sheet could not be loaded. Check the connection, then reload this page. Nothing that was entered is lost.'));
} else {
  failed('This browser cannot run WebAssembly, which the sheet needs. Use a current browser, or type the readings with: vibecheck shims survey.csv --airframe airframe.toml --ask');
}

// Browsers allow this on https and on this machine only.
if ('serviceWorker' in navigator) {
  addEventListener('sheet-ready', keepFiles, { once: true });
}

function keepFiles() {
  navigator.serviceWorker.register('service-worker.js', { updateViaCache: 'none' })
    .then(() => navigator.serviceWorker.ready)
    .then(() => { document.body.dataset.offline = 'ready'; })
    .catch(() => { });
}
