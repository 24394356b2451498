// Runs a page of the workbook when it comes into view, so that nobody has to know how.
// Written by hand in the shape that JupyterLab loads (a module container), so it needs no build.
(() => {
  const brought = new WeakSet();

  async function bringToLife(app, page) {
    if (!page?.context?.model || !page.sessionContext || brought.has(page)) return;
    await page.context.ready;
    const marked = page.context.model.getMetadata?.("design_workbook");
    if (!marked?.run_on_open || brought.has(page)) return;
    brought.add(page);
    await page.sessionContext.ready;
    if (app.shell.currentWidget === page) {
      await app.commands.execute("notebook:run-all-cells");
    } else {
      // The maker went on to another page meanwhile; this one waits until it is looked at.
      brought.delete(page);
    }
  }

  const plugin = {
    id: "design-workbook:run-page",
    autoStart: true,
    activate(app) {
      const look = () => bringToLife(app, app.shell.currentWidget);
      app.shell.currentChanged.connect(look);
      app.restored.then(look);
    },
  };

  window._JUPYTERLAB ??= {};
  window._JUPYTERLAB["design-workbook"] = {
    init: () => {},
    get: async () => () => ({ __esModule: true, default: plugin }),
  };
})();
