// The notebook view: traits in, clicks out.
import { hearLate } from "./late.js";
import { canDraw, View } from "./view.js";

const WITHOUT = "This browser cannot draw in three dimensions (no WebGL), so here is a still picture instead.";

const bytesOf = (value) =>
  value && value.byteLength ? new Uint8Array(value.buffer ?? value, value.byteOffset ?? 0, value.byteLength) : null;

const yearsText = (years) =>
  years === null || years === undefined ? "" : years === 0 ? "new" : `after ${years} ${years === 1 ? "year" : "years"}`;

function stillPicture(model, el) {
  const note = document.createElement("p");
  note.textContent = WITHOUT;
  const image = document.createElement("img");
  image.alt = "Still picture of the piece";
  image.style.maxWidth = "100%";
  let address = null;
  const show = () => {
    if (address) URL.revokeObjectURL(address);
    const bytes = bytesOf(model.get("fallback"));
    address = bytes && URL.createObjectURL(new Blob([bytes], { type: "image/png" }));
    image.hidden = !address;
    if (address) image.src = address;
  };
  model.on("change:fallback", show);
  el.replaceChildren(note, image);
  show();
  // The kernel draws a still picture only where one is needed.
  model.set("wants_still", true);
  model.save_changes();
  return () => {
    model.off("change:fallback", show);
    if (address) URL.revokeObjectURL(address);
  };
}

function render({ model, el }) {
  hearLate(model);
  if (!canDraw()) return stillPicture(model, el);
  const holder = document.createElement("div");
  holder.style.width = "100%";
  el.replaceChildren(holder);
  const view = new View(holder, {
    onSelect(member) {
      model.set("selected", member ? member.ref : "");
      model.set("selected_piece", member ? member.piece : "");
      point(member);
      model.save_changes();
    },
    onHover(member) {
      point(member);
      model.save_changes();
    },
    onMeasured(found) {
      model.set("measured", found ?? {});
      model.save_changes();
    },
    onRest(eye) {
      eyeTold = JSON.stringify(eye ?? {});
      if (eyeTold === JSON.stringify(model.get("eye"))) return;
      model.set("eye", eye ?? {});
      model.save_changes();
    },
  });
  let eyeTold = "{}";
  // What the tables beside the view mark: the member under the pointer, else the one clicked.
  function point(member) {
    const { ref, piece } = member ?? { ref: model.get("selected"), piece: model.get("selected_piece") };
    const keys = ref ? [piece ? `${piece}/${ref}` : ref] : [];
    if (JSON.stringify(keys) !== JSON.stringify(model.get("pointed"))) model.set("pointed", keys);
  }
  const lit = () => {
    const [selected, piece] = [model.get("selected"), model.get("selected_piece")];
    view.setLit(selected ? [...model.get("lit"), piece ? `${piece}/${selected}` : selected] : model.get("lit"));
  };
  const tell = {
    scene: () => {
      const bytes = bytesOf(model.get("scene"));
      if (bytes) view.setScene(bytes);
    },
    look: () => view.setLook(model.get("look")),
    apart: () => view.setApart(model.get("apart")),
    opened: () => view.setOpened(model.get("opened")),
    lit,
    selected: lit,
    selected_piece: lit,
    show: () => view.setShow(model.get("show")),
    measuring: () => view.setMeasuring(model.get("measuring")),
    eye: () => {
      const eye = model.get("eye");
      if (JSON.stringify(eye) === eyeTold) return;
      if (eye?.from) view.setEye(eye);
      else view.home();
    },
    years: () => view.setCorner(yearsText(model.get("years"))),
    height_px: () => {
      holder.style.height = `${model.get("height_px")}px`;
    },
  };
  const asked = async () => {
    const png = await view.picture();
    model.set("snapshot", new DataView(png.buffer));
    model.save_changes();
  };
  for (const [trait, act] of Object.entries(tell)) {
    act();
    model.on(`change:${trait}`, act);
  }
  model.on("change:snapshot_asked", asked);
  return () => {
    for (const [trait, act] of Object.entries(tell)) model.off(`change:${trait}`, act);
    model.off("change:snapshot_asked", asked);
    view.dispose();
  };
}

export default { render };
