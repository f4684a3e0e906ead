// Runs long work beside the page. From a server this is a module; in the single file it stands behind the page's code
// in one classic script, so no import or export statements here. The page sends the compiled module once, then jobs.
const start = async (module) => {
  const app = typeof wasm_bindgen === 'undefined' ? await import('./app.js') : wasm_bindgen;
  await (app.default ?? app)({ module_or_path: module });
  await app.fetch_jobs();
  postMessage({ ready: true });
  return app;
};

let started;
self.onmessage = async ({ data }) => {
  try {
    if (data.module) {
      started = start(data.module);
      await started;
      return;
    }
    const app = await started;
    postMessage({ outcome: app.run_job(data.job, (share) => postMessage({ share })) });
  } catch (why) {
    // A refusal comes as text. Anything else has left the module in no state to go on with.
    postMessage(typeof why === 'string' ? { refused: why } : { broke: globalThis.countlightPanic ?? String(why) });
  }
};
