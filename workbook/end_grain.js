// The end of a board, on which one growth ring is marked in three places.
const NS = "http://www.w3.org/2000/svg";
const ROOM = 14, WIDE = 420, MOST_HIGH = 220;

function shape(name, attributes, parent) {
  const made = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent.appendChild(made);
  return made;
}

function render({ model, el }) {
  hearLate(model);
  const svg = document.createElementNS(NS, "svg");
  svg.setAttribute("role", "img");
  svg.setAttribute("aria-label", "End of the board: click three places along one growth ring");
  svg.style.cssText = "touch-action:none;cursor:crosshair;max-width:100%;display:block";
  el.replaceChildren(svg);
  let held = -1;
  let marked = [];

  const size = () => [model.get("width_mm"), model.get("thickness_mm")];
  const scale = () => {
    const [w, t] = size();
    return Math.min((WIDE - 2 * ROOM) / w, (MOST_HIGH - 2 * ROOM) / t);
  };
  const place = ([x, y]) => {
    const [w, t] = size(), k = scale();
    return [ROOM + (x + w / 2) * k, ROOM + (t / 2 - y) * k];
  };
  const onBoard = (event) => {
    const box = svg.getBoundingClientRect(), [w, t] = size(), k = scale() * box.width / Number(svg.getAttribute("width"));
    const room = ROOM * k / scale();
    const x = (event.clientX - box.left - room) / k - w / 2;
    const y = t / 2 - (event.clientY - box.top - room) / k;
    const tenth = (v, most) => Math.round(10 * Math.max(-most, Math.min(most, v))) / 10;
    return [tenth(x, w / 2), tenth(y, t / 2)];
  };

  function draw() {
    const [w, t] = size(), k = scale();
    svg.setAttribute("width", w * k + 2 * ROOM);
    svg.setAttribute("height", t * k + 2 * ROOM);
    svg.replaceChildren();
    const clip = shape("clipPath", { id: "end-" + model.cid }, svg);
    const end = { x: ROOM, y: ROOM, width: w * k, height: t * k };
    shape("rect", end, clip);
    shape("rect", { ...end, fill: "#ead3a6", stroke: "#6b5a43", "stroke-width": 1.2 }, svg);
    const heart = model.get("heart");
    if (heart.length === 2 && marked.length === 3) {
      const rings = shape("g", { "clip-path": `url(#end-${model.cid})`, fill: "none", stroke: "#b08d57" }, svg);
      const [cx, cy] = place(heart);
      const far = Math.hypot(w, t) + Math.hypot(heart[0], heart[1]);
      const apart = Math.max(4, t / 7);
      const own = Math.hypot(marked[0][0] - heart[0], marked[0][1] - heart[1]);
      for (let r = own % apart; r < far; r += apart) {
        const thick = Math.abs(r - own) < 0.01 ? 2.4 : 0.9;
        shape("circle", { cx, cy, r: r * k, "stroke-width": thick }, rings);
      }
    }
    marked.forEach((point, i) => {
      const [x, y] = place(point);
      const dot = shape("circle", { cx: x, cy: y, r: 6, fill: "#a3231b", stroke: "#fff", "stroke-width": 1.5 }, svg);
      dot.style.cursor = "grab";
      dot.addEventListener("pointerdown", (event) => {
        held = i;
        svg.setPointerCapture(event.pointerId);
        event.preventDefault();
        event.stopPropagation();
      });
    });
  }

  const tell = () => {
    model.set("points", marked);
    model.save_changes();
  };
  svg.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    marked = marked.length >= 3 ? [onBoard(event)] : [...marked, onBoard(event)];
    draw();
    if (marked.length === 3) tell();
  });
  svg.addEventListener("pointermove", (event) => {
    if (held < 0) return;
    marked = marked.map((point, i) => (i === held ? onBoard(event) : point));
    draw();
  });
  const letGo = () => {
    if (held < 0) return;
    held = -1;
    if (marked.length === 3) tell();
  };
  svg.addEventListener("pointerup", letGo);
  svg.addEventListener("pointercancel", letGo);

  const follow = () => {
    marked = model.get("points").map((point) => [...point]);
    draw();
  };
  const followed = ["change:points", "change:heart", "change:width_mm", "change:thickness_mm"];
  followed.forEach((name) => model.on(name, name === "change:points" ? follow : draw));
  follow();
  return () => followed.forEach((name) => model.off(name, name === "change:points" ? follow : draw));
}

export default { render };
