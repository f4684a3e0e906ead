// Starts the page. From a server this is a module; in the single file it is a classic script, so no import or export
// statements here. The root element tells how it went: data-ready="1" once started, data-failed="1" if it cannot start.
(async () => {
  const root = document.documentElement;
  // The single file needs no keeping, and a browser keeps pages from a web server only.
  const keeper = !globalThis.countlightUnpack && /^https?:$/.test(location.protocol) ? navigator.serviceWorker : undefined;

  // Whoever writes scenes and lessons serves the page on this machine, and a change is to be seen at the next load: a
  // newer version is looked for before the page starts, not after.
  const lookNow = async (kept) => {
    if (kept && ['127.0.0.1', 'localhost'].includes(location.hostname)) {
      await kept.update().catch(() => {}); // The server may have ended.
      const coming = kept.installing;
      const late = new Promise((done) => { setTimeout(done, 3000); });
      await Promise.race([late, coming && new Promise((done) => { coming.onstatechange = done; })]);
    }
  };

  // Whether a newer version of the page waited and now has taken over; then what is loaded so far is the old one.
  const renewed = async () => {
    const kept = await keeper?.getRegistration();
    await lookNow(kept);
    const waiting = kept?.waiting;
    if (!waiting) {
      return false;
    }
    const taken = new Promise((done) => keeper.addEventListener('controllerchange', () => done(true), { once: true }));
    const { port1, port2 } = new MessageChannel();
    const refused = new Promise((done) => { port1.onmessage = ({ data }) => data || done(false); });
    const late = new Promise((done) => { setTimeout(done, 3000, false); });
    waiting.postMessage('take over', [port2]);
    return Promise.race([taken, refused, late]);
  };

  // Scenes and lessons, as text.
  const content = async () => {
    const inside = document.getElementById('page-content');
    if (inside) {
      return inside.textContent;
    }
    const answer = await fetch('content.json');
    const text = await answer.text();
    if (!answer.ok) {
      throw new Error(`the scenes and lessons (content.json) did not arrive: ${text.trim() || answer.status}`);
    }
    return text;
  };

  try {
    if (typeof WebAssembly !== 'object') {
      throw new Error('this browser has no WebAssembly, or it is switched off');
    }
    if (await renewed().catch(() => false)) {
      location.reload();
      return;
    }
    const library = content();
    library.catch(() => {}); // It is awaited below; until then a refusal is no unhandled one.
    let app;
    if (globalThis.countlightUnpack) {
      app = await globalThis.countlightUnpack();
    } else {
      app = await import('./app.js');
      await app.default({ module_or_path: 'app_bg.wasm' });
    }
    // Canvas text does not wait for fonts, so they are there before the first picture.
    await Promise.all([400, 500, 600].map((w) => document.fonts.load(`${w} 16px 'Barlow Semi Condensed'`)));
    app.take_content(await library);
    await app.start();
    globalThis.countlight = app;
    root.dataset.ready = '1';
    // Looks for a newer version too. A browser that keeps nothing (a private window) shows the page all the same.
    keeper?.register('offline.js', { updateViaCache: 'none' })
      .then((kept) => keeper.controller && kept.update())
      .catch((why) => console.info(`not kept for later: ${why}`));
  } catch (error) {
    root.dataset.failed = '1';
    const note = document.createElement('p');
    note.setAttribute('role', 'alert');
    note.textContent = `Countlight could not start: ${error?.message ?? error}. `
      + 'Load the page again; if that does not help, use a current browser and allow WebAssembly for this page.';
    document.body.prepend(note);
    console.error(error);
  }
})();
