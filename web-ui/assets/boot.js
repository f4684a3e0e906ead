// Starts the page. From a server this is a module; in the single file it is a classic script, so no import or export
// statements here. The root element tells how it went: data-ready="1" once started, data-failed="1" if it cannot start.
(async () => {
  const root = document.documentElement;
  try {
    if (typeof WebAssembly !== 'object') {
      throw new Error('this browser has no WebAssembly, or it is switched off');
    }
    let app;
    if (globalThis.countlightUnpack) {
      app = await globalThis.countlightUnpack();
    } else {
      app = await import('./app.js');
      await app.default({ module_or_path: 'app_bg.wasm' });
    }
    // Canvas text does not wait for fonts, so they are there before the first picture.
    await Promise.all([400, 500, 600].map((w) => document.fonts.load(`${w} 16px 'Barlow Semi Condensed'`)));
    app.start();
    globalThis.countlight = app;
    root.dataset.ready = '1';
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
