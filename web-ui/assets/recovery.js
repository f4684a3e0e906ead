// When the program breaks off (a panic of the model, or anything else that leaves its module broken), this page takes
// its place. It needs nothing of the module: the bench as it last was stands in countlightBench.
(() => {
  const make = (tag, text, more) => Object.assign(document.createElement(tag), { textContent: text }, more);
  const stored = 'countlight.bench';
  let stopped = false;

  const store = (change) => {
    try {
      change(sessionStorage);
      return true;
    } catch {
      return false; // Forbidden in this window, or full.
    }
  };

  const save = () => {
    const address = URL.createObjectURL(new Blob([globalThis.countlightBench], { type: 'application/json' }));
    make('a', '', { href: address, download: 'countlight-bench.json' }).click();
    setTimeout(() => URL.revokeObjectURL(address), 10000);
  };

  const openAgain = (says) => {
    const kept = store((storage) => {
      storage.setItem(stored, globalThis.countlightBench);
      storage.setItem('countlight.reopen', '1');
    });
    if (kept) {
      location.reload();
    } else {
      says.textContent = 'This window may not keep anything. Save the bench, start afresh and drop the file on the page.';
    }
  };

  const startAfresh = () => {
    store((storage) => [stored, 'countlight.reopen'].forEach((name) => storage.removeItem(name)));
    location.reload();
  };

  const show = (why) => {
    globalThis.requestAnimationFrame = () => 0;
    document.documentElement.dataset.stopped = '1';
    const page = make('main', '', { className: 'stopped' });
    const title = make('h1', 'The program has broken off', { tabIndex: -1 });
    const says = make('p', '', { role: 'status' });
    const button = (text, act) => {
      const made = make('button', text, { type: 'button' });
      made.addEventListener('click', act);
      return made;
    };
    const row = make('div', '', { className: 'choices' });
    let time = '';
    try {
      // A step of the model is 50 microseconds.
      time = ` at ${(JSON.parse(globalThis.countlightBench).bench.state.axis.step * 50e-6).toFixed(2)} s`;
    } catch { /* Nothing was kept yet. */ }
    const words = time === ''
      ? 'Countlight made a mistake of its own and cannot go on. It was not you. Nothing had been done on the bench yet.'
      : 'Countlight made a mistake of its own and cannot go on. It was not you, and nothing is lost: '
        + `the bench is kept as it stood${time}, with everything that was changed on it.`;
    if (time !== '') {
      row.append(button('Open it again', () => openAgain(says)), button('Save the bench', save));
    }
    row.append(button('Start afresh', startAfresh));
    const more = make('details', '');
    more.append(make('summary', 'What the program says'), make('pre', String(why)));
    page.append(title, make('p', words), row, says, more);
    document.body.replaceChildren(page);
    title.focus();
  };

  // Called by the module itself when it panics; shown when it has let go of the page.
  globalThis.countlightStopped = (why) => {
    if (!stopped) {
      stopped = true;
      setTimeout(show, 0, why);
    }
  };

  // An error that went through the module leaves it half done, whatever it was.
  const look = (error) => {
    const ours = error instanceof WebAssembly.RuntimeError || /wasm/i.test(error?.stack ?? '');
    if (ours) {
      globalThis.countlightStopped(globalThis.countlightPanic ?? error);
    }
  };
  if (typeof WebAssembly === 'object') {
    addEventListener('error', ({ error }) => look(error));
    addEventListener('unhandledrejection', ({ reason }) => look(reason));
  }
})();
