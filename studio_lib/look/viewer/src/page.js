// The client page: one view an option; sliders for age and for taking apart.
import { canPlace, placeInRoom } from "./room.js";
import { canDraw, View } from "./view.js";

const unpacked = async (text) => {
  const packed = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
};
const one = (selector) => document.querySelector(selector);

async function start() {
  const told = JSON.parse(one("#told").textContent);
  const options = [...document.querySelectorAll(".option")];
  if (!canDraw() || !("DecompressionStream" in window)) {
    document.body.classList.add("still-only");
    return;
  }
  const files = await Promise.all(told.options.map((o) => unpacked(o.scene)));
  document.body.classList.add("live");
  const views = options.map((option, k) => {
    const view = new View(option.querySelector(".stage"), {
      describe: told.options[k].describe,
      onSelect: (member) => view.setLit(member ? [`${member.piece}/${member.ref}`] : []),
    });
    view.setShow({ dimensions: false, person: false, ground: told.ground, inch: told.inch });
    view.setScene(files[k]);
    return view;
  });
  const each = (act) => views.forEach(act);

  const age = one("#age");
  const way = one("#way");
  const setAge = () => {
    const stage = told.ways[way ? Number(way.value) : 0].stages[Number(age.value)];
    each((view) => view.setLook(stage.look));
    one("#age-name").textContent = stage.name;
    age.setAttribute("aria-valuetext", stage.name);
    one("#age-says").replaceChildren(...stage.says.map((line) => {
      const p = document.createElement("p");
      p.textContent = line;
      return p;
    }));
  };
  age.addEventListener("input", setAge);
  way?.addEventListener("change", setAge);
  setAge();

  one("#apart").addEventListener("input", (e) => each((view) => view.setApart(e.target.value / 100)));
  one("#opened")?.addEventListener("input", (e) => each((view) => view.setOpened(e.target.value / 100)));
  one("#dimensions").addEventListener("change", (e) => each((view) => view.setShow({ dimensions: e.target.checked })));
  one("#person").addEventListener("change", (e) => each((view) => view.setShow({ person: e.target.checked && told.person, door: e.target.checked })));
  one("#home").addEventListener("click", () => each((view) => view.home()));
  document.querySelectorAll(".save").forEach((button, k) => {
    button.addEventListener("click", () => {
      const link = document.createElement("a");
      link.href = URL.createObjectURL(new Blob([files[k]], { type: "model/gltf-binary" }));
      link.download = button.dataset.file;
      link.click();
      setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
    });
  });
  room(views);
  window.studioViews = views;
}

async function room(views) {
  if (!(await canPlace())) return;
  document.querySelectorAll(".place").forEach((button, k) => {
    const said = button.parentElement.querySelector(".place-said");
    const overlay = one("#overlay");
    let session = null;
    one("#overlay button").addEventListener("click", () => session?.end());
    button.hidden = false;
    button.addEventListener("click", async () => {
      said.textContent = "";
      overlay.hidden = false;
      try {
        session = await placeInRoom(views[k], overlay, () => { overlay.hidden = true; session = null; });
      } catch (error) {
        overlay.hidden = true;
        said.textContent = `The camera could not be opened for this (${error.message}).`;
      }
    });
  });
}

start();
