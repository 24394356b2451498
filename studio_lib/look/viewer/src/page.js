// The client page: one view an option, one slider for age, one for taking apart.
import { canDraw, View } from "./view.js";

const bytesOf = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
const one = (selector) => document.querySelector(selector);

function start() {
  const told = JSON.parse(one("#told").textContent);
  const options = [...document.querySelectorAll(".option")];
  if (!canDraw()) {
    document.body.classList.add("still-only");
    return;
  }
  document.body.classList.add("live");
  const views = options.map((option, k) => {
    const view = new View(option.querySelector(".stage"), {
      describe: told.options[k].describe,
      onSelect: (member) => view.setLit(member ? [`${member.piece}/${member.ref}`] : []),
    });
    view.setShow({ dimensions: false, person: false, ground: told.ground });
    view.setScene(bytesOf(told.options[k].scene));
    return view;
  });
  const each = (act) => views.forEach(act);

  const age = one("#age");
  const setAge = () => {
    const stage = told.stages[Number(age.value)];
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
  setAge();

  one("#apart").addEventListener("input", (e) => each((view) => view.setApart(e.target.value / 100)));
  for (const name of ["dimensions", "person"]) {
    one(`#${name}`).addEventListener("change", (e) => each((view) => view.setShow({ [name]: e.target.checked })));
  }
  one("#home").addEventListener("click", () => each((view) => view.home()));
  window.studioViews = views;
}

start();
