// Runs a page of the workbook when it comes into view, so that nobody has to know how; makes it read as a
// document; and follows the links between pages without loading everything anew.
// Written by hand in the shape that JupyterLab loads (a module container), so it needs no build.
(() => {
  const brought = new WeakSet();
  const LOOK = `
    .jp-Notebook .jp-Cell-inputWrapper .jp-Placeholder { display: none; }
    .design-page:not(:has(.dw)) .jp-WindowedPanel-viewport::after { content: "One moment: the page is being opened."; display: block; padding: 12px 16px; font: italic 14px Georgia, 'Times New Roman', serif; color: #6d655b; }
    .design-page .jp-InputPrompt, .design-page .jp-OutputPrompt, .design-page .jp-Collapser,
    .design-page .jp-OutputArea-promptOverlay, .design-page .jp-Notebook-footer { display: none; }
    .design-page .jp-cell-toolbar, .design-page .jp-Toolbar.jp-cell-menu { display: none !important; }
    .design-page .jp-Cell, .design-page .jp-Notebook .jp-Cell.jp-mod-active { padding: 0 12px; border-color: transparent; box-shadow: none; }
    .design-page .jp-Notebook.jp-mod-commandMode .jp-Cell.jp-mod-active { border-color: transparent !important; box-shadow: none !important; outline: none !important; }
    .design-page .jp-Notebook .jp-Cell::before, .design-page .jp-Notebook .jp-Cell::after { content: none; }
    .design-page:not(:has(.dw)) .jp-Cell.design-closing, .design-page:has(.dw .head) .jp-Cell.design-closing { display: none; }
    body:has(.design-page:not(.lm-mod-hidden) .dw-client) :is(#jp-top-panel, #jp-menu-panel, #jp-title-panel-title, .jp-SideBar, .jp-NotebookPanel-toolbar) { visibility: hidden; }
    body:has(.design-page:not(.lm-mod-hidden) .dw-client), body:has(.design-page:not(.lm-mod-hidden) .dw-client) :is(#main, #jp-main-content-panel, #jp-main-split-panel, #jp-main-dock-panel, .lm-SplitPanel, .jp-SideBar) { background: #fff !important; border-color: #fff !important; }
    .design-page .jp-Cell:not(.jp-mod-editMode) .jp-Cell-inputWrapper { border: none; background: none; }
    .design-page .jp-CodeCell .jp-Cell-inputArea, .design-page .jp-CodeCell .jp-Cell-inputWrapper.jp-mod-inputHidden { margin: 0; }
    .design-page .jp-NotebookPanel-notebook, .design-page .jp-WindowedPanel-outer { padding-top: 4px; }
    .design-page .jp-RenderedMarkdown { font-family: Georgia, 'Times New Roman', serif; color: #2b2722; padding-top: 0; }
    .design-page .jp-RenderedMarkdown h1 { font-size: 24px; margin: .2em 0; }
    .design-page .jp-RenderedMarkdown h2 { font-size: 17px; font-weight: 600; margin: 1em 0 .3em; }
    .design-page .jp-RenderedMarkdown p { max-width: 1000px; margin: .2em 0; }
    .design-page .jp-OutputArea-output pre { font-family: Georgia, 'Times New Roman', serif; font-size: 14px; line-height: 1.45; }
  `;

  async function bringToLife(app, page) {
    if (!page?.context?.model || !page.sessionContext || brought.has(page)) return;
    await page.context.ready;
    const marked = page.context.model.getMetadata?.("design_workbook");
    if (!marked?.run_on_open || brought.has(page)) return;
    brought.add(page);
    page.addClass("design-page");
    // What was left of its last run: widgets that nobody can use any more, and that would be drawn only to be replaced.
    for (const cell of page.content.widgets) cell.model.outputs?.clear();
    // What the page closes with is as old as its last run; once the panel stands, that says it as it is now.
    [...page.content.widgets].slice(-3).forEach((cell) => cell.addClass("design-closing"));
    await page.sessionContext.ready;
    if (page.isVisible) {
      await runAll(app, page);
      page.content.deselectAll?.();
      page.content.node.querySelector(".jp-WindowedPanel-outer")?.scrollTo?.(0, 0);
    } else {
      // The maker went on to another page meanwhile; this one waits until it is looked at.
      brought.delete(page);
    }
  }

  async function runAll(app, page) {
    // The command runs the current page; one that is in view while none is current is made so first.
    if (app.shell.currentWidget !== page) app.shell.activateById(page.id);
    if (app.shell.currentWidget === page) return app.commands.execute("notebook:run-all-cells");
    // A page in a window behind others cannot be made current till someone goes there: it is run all the same.
    for (const cell of page.content.widgets) {
      if (cell.model.type === "code") await cell.constructor.execute(cell, page.sessionContext);
    }
  }

  function followLinks(app) {
    document.addEventListener("click", (event) => {
      const link = event.target.closest?.("a[data-page]");
      const here = app.shell.currentWidget?.context?.path;
      if (!link || here === undefined || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
      event.preventDefault();
      const folder = here.slice(0, here.lastIndexOf("/") + 1);
      app.commands.execute("docmanager:open", { path: folder + link.dataset.page });
    }, true);
  }

  // Screen readers get a name for every field: a slider's handle has none of its own, nor has a field without a label.
  function nameFields() {
    const seen = (label) => label.textContent.trim() && label.style.display !== "none";
    const near = (box) => [...(box?.querySelectorAll("label") ?? [])].find(seen)?.textContent.trim();
    for (const one of document.querySelectorAll(".design-page .jupyter-widgets :is(.noUi-handle, select, input, textarea):not([aria-label])")) {
      const widget = one.closest(".jupyter-widgets");
      const handle = one.classList.contains("noUi-handle");
      if (!handle && near(widget)) continue;
      const titled = widget.title || one.title || widget.querySelector("label")?.title;
      const name = near(widget) || titled || one.placeholder || near(widget.closest(".widget-vbox"));
      if (name) one.setAttribute("aria-label", name);
    }
  }

  // What the maker unfolded stays so when the words around it are written anew.
  function keepUnfolded() {
    const kept = new WeakMap();
    const key = (fold) => fold.querySelector("summary")?.textContent.replace(/[\d.,]+/g, "");
    const box = (node) => (node.nodeType === 1 ? node : node.parentElement)?.closest(".widget-html");
    document.addEventListener("toggle", (event) => {
      const within = event.target.tagName === "DETAILS" && box(event.target);
      if (!within) return;
      if (!kept.has(within)) kept.set(within, new Map());
      kept.get(within).set(key(event.target), event.target.open);
    }, true);
    new MutationObserver((changes) => {
      for (const within of new Set(changes.map((change) => box(change.target)))) {
        const folds = within && kept.get(within);
        if (!folds) continue;
        for (const fold of within.querySelectorAll("details")) {
          const open = folds.get(key(fold));
          if (open !== undefined && fold.open !== open) fold.open = open;
        }
      }
    }).observe(document.body, { childList: true, subtree: true });
  }

  function nameLater() {
    let waits = 0;
    new MutationObserver(() => {
      waits ||= setTimeout(() => { waits = 0; nameFields(); }, 500);
    }).observe(document.body, { childList: true, subtree: true });
  }

  const plugin = {
    id: "design-workbook:run-page",
    autoStart: true,
    activate(app) {
      const style = document.createElement("style");
      style.textContent = LOOK;
      document.head.append(style);
      followLinks(app);
      nameLater();
      keepUnfolded();
      const inView = () => app.shell.currentWidget ?? [...app.shell.widgets("main")].find((widget) => widget.isVisible);
      const look = () => bringToLife(app, inView());
      app.shell.currentChanged.connect(look);
      app.restored.then(look);
      setInterval(look, 1000); // a page that came into view while nothing was current yet is not left waiting
    },
  };

  window._JUPYTERLAB ??= {};
  window._JUPYTERLAB["design-workbook"] = {
    init: () => {},
    get: async () => () => ({ __esModule: true, default: plugin }),
  };
})();
