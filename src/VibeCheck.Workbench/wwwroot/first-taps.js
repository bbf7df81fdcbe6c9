// Before a new page is connected, nothing stands behind it: the browser shows what the workbench drew, and the connection follows half a
// second later. What is tapped and typed until then is kept here, in order, and carried out once the page is live.
globalThis.firstTaps = (() => {
  const kept = [];
  let isOpen = true, typedAt = null, content = document.querySelector('main');

  const buttons = 'main button, main [role=button]', fields = 'main input:not([type=file]), main select, main textarea';

  const nameOf = control => (control.getAttribute('aria-label') ?? control.labels?.[0]?.textContent ?? control.textContent).trim();

  /** What tells a control from the others after the page has been drawn anew. */
  const signOf = control => [control.tagName, control.type, control.id, control.name, nameOf(control)].join('|');

  const alike = (sign, all) => [...document.querySelectorAll(all)].filter(control => signOf(control) === sign);

  const find = ({ sign, ordinal, all }) => alike(sign, all)[ordinal];

  function keep(kind, control, all, more = {}) {
    const sign = signOf(control), place = { sign, ordinal: alike(sign, all).indexOf(control), all };
    const isSame = k => k?.kind === kind && k.place.sign === sign && k.place.ordinal === place.ordinal;

    // A second tap on a button that has not reacted yet means the first one, and the last of what was typed in a field holds all of it.
    if (kind === 'click' && kept.some(isSame)) { return; }
    if (kind === 'input' && isSame(kept.at(-1))) { kept.pop(); }
    kept.push({ kind, place, name: nameOf(control), ...more });
    document.getElementById('components-reconnect-modal').classList.add('held');
  }

  function onClick(e) {
    const button = e.target.closest?.(buttons);
    if (button) {
      e.preventDefault();
      keep('click', button, buttons);
    }
  }

  function onKey(e) {
    const button = e.target.closest?.('main [role=button]'), field = e.target.closest?.(fields);
    if (button && (e.key === 'Enter' || e.key === ' ')) {
      e.preventDefault();
      keep('keydown', button, buttons, { key: e.key });
    } else if (field?.type === 'text' && e.key === 'Enter') {
      keep('keydown', field, fields, { key: e.key });
    }
  }

  function onInput(e) {
    const field = e.target.closest?.(fields);
    if (field) {
      keep(e.type, field, fields, { value: field.value, isChecked: field.checked });
      typedAt = kept.at(-1).place;
    }
  }

  /** Keeps an event of the person at the page from everything else. Links, and the selection of files, need no connection. */
  function take(e, keepIt) {
    if (!isOpen || !e.isTrusted || !e.target.closest?.('main') || e.target.closest('a[href], summary, input[type=file], label.file')) { return; }
    e.stopImmediatePropagation();
    keepIt(e);
  }

  for (const [kind, keepIt] of [['click', onClick], ['keydown', onKey], ['input', onInput], ['change', onInput]]) {
    addEventListener(kind, e => take(e, keepIt), true);
  }

  /** Puts back what was typed, with the cursor, after the page has been drawn anew. */
  function restore() {
    for (const { kind, place, value, isChecked } of kept) {
      const field = kind === 'input' || kind === 'change' ? find(place) : null;
      if (field) { fill(field, value, isChecked); }
    }
    const field = typedAt && find(typedAt), wanders = !document.activeElement?.matches('input, select, textarea');
    if (field && wanders) { field.focus({ preventScroll: true }); }
  }

  function fill(field, value, isChecked) {
    if (field.type === 'checkbox' || field.type === 'radio') {
      field.checked = isChecked;
    } else {
      field.value = value;
    }
  }

  const redraws = new MutationObserver(() => {
    const now = document.querySelector('main');
    if (now && now !== content) {
      content = now;
      restore();
    }
  });
  redraws.observe(document.body, { childList: true, subtree: true });

  function carryOut({ kind, place, value, isChecked, key }) {
    const control = find(place);
    if (!control) { return false; }
    if (kind === 'click') {
      control.dispatchEvent(new MouseEvent('click', { bubbles: true, cancelable: true }));
    } else if (kind === 'keydown') {
      control.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
    } else {
      fill(control, value, isChecked);
      control.dispatchEvent(new Event(kind, { bubbles: true }));
    }
    return true;
  }

  return {
    /**
     * Carries out what was kept, one after the other, and ends the keeping.
     * @param answered waits until the workbench has handled what was sent; false where it does not answer
     * @returns names of what was not carried out
     */
    async carryOutAll(answered) {
      restore();
      const left = [];
      for (let next = kept.shift(); next; next = kept.shift()) {
        if (!carryOut(next) || !await answered()) { left.push(next.name); }
      }
      isOpen = false;
      redraws.disconnect();
      return left;
    },
  };
})();
