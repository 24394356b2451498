// One view of a scene. Draws when something changed and never otherwise; whatever
// arrives between two frames, only the last of it is drawn.
import {
  Box3, Color, Group, LineBasicMaterial, LineSegments, Mesh, NoToneMapping, PCFShadowMap,
  PerspectiveCamera, Quaternion, Raycaster, Scene, Sphere, Vector2, Vector3, WebGLRenderer,
} from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import { readScene } from "./glb.js";
import { BACKDROP, PERSON_M, makeGround, makePerson, makeWall } from "./ground.js";
import { Daylight } from "./lights.js";
import { Measure } from "./measure.js";
import { carry, openedBy, swung } from "./opening.js";
import { Refiner } from "./refine.js";
import { Section } from "./section.js";
import { lengthWords } from "./lengths.js";
import { makeSizes, sizeNumbers } from "./sizes.js";
import { ACCENT, cutLine, cutMesh, Timber } from "./timber.js";

const VIEW_DEG = 28;
const FRONT_RIGHT_ABOVE = new Vector3(0.62, 0.5, 1).normalize();
const EDGE = { colour: 0x2c1f12, opacity: 0.3 };
const GLUED_OPACITY = 0.06;

/** They reach so far into one another, or the shaded edge of one would show through the seam. */
const LAP_MM = 0.03;
/** Boards glued edge to edge show hardly a line where they meet. */
const edgeOf = (member, group) => (member.glued ? group.gluedEdge : group.edge);
const NUMBER_PX = 20;
const MARGIN = 1.1;
const QUIET_MS = 220;
const SAMPLES = 40;
const FEWEST_SAMPLES = 12;
const REFINE_WITHIN_MS = 2500;
const PICTURE_WITHIN_MS = 4000;
const SLOW_FRAME_MS = 45;
// Taken apart one step after the other, each along the way its joints enter.
const drawn = (pulls, share) => {
  const out = [0, 0, 0];
  pulls.forEach((pull, k) => {
    const s = Math.min(Math.max(share * pulls.length - k, 0), 1);
    const eased = s * s * (3 - 2 * s);
    for (let i = 0; i < 3; i += 1) out[i] += 0.001 * pull[i] * eased;
  });
  return out;
};

function element(tag, style, parent) {
  const node = document.createElement(tag);
  Object.assign(node.style, style);
  parent.append(node);
  return node;
}

const LABEL = {
  position: "absolute", pointerEvents: "none", font: "13px/1.35 system-ui, sans-serif", color: "#1d252b",
  background: "rgba(252,252,250,.94)", border: "1px solid #cfd4d6", borderRadius: "6px", padding: "4px 8px",
  whiteSpace: "nowrap", zIndex: 2, display: "none",
};

export const canDraw = () => {
  try {
    const probe = document.createElement("canvas").getContext("webgl2");
    probe?.getExtension("WEBGL_lose_context")?.loseContext();
    return Boolean(probe);
  } catch {
    return false;
  }
};

export class View {
  constructor(holder, { onSelect = () => {}, onHover = () => {}, onMeasured = () => {}, onRest = () => {}, describe = "The piece in three dimensions." } = {}) {
    this.holder = holder;
    Object.assign(this, { onSelect, onHover, onRest });
    Object.assign(holder.style, { position: "relative", overflow: "hidden" });
    this.renderer = new WebGLRenderer({ antialias: true, preserveDrawingBuffer: false, stencil: true });
    this.renderer.toneMapping = NoToneMapping;
    this.renderer.localClippingEnabled = true;
    this.renderer.shadowMap.enabled = true;
    this.renderer.shadowMap.type = PCFShadowMap;
    this.renderer.shadowMap.autoUpdate = false;
    this.canvas = this.renderer.domElement;
    Object.assign(this.canvas.style, { display: "block", width: "100%", height: "100%" });
    this.canvas.tabIndex = 0;
    this.canvas.setAttribute("role", "img");
    this.canvas.setAttribute(
      "aria-label",
      `${describe} Arrow keys turn it, plus and minus bring it nearer or farther, Shift and arrow keys move it, Home starts again.`,
    );
    holder.append(this.canvas);
    this.label = element("div", LABEL, holder);
    this.corner = element("div", { ...LABEL, left: "10px", bottom: "10px" }, holder);

    this.scene = new Scene();
    this.scene.background = new Color(BACKDROP);
    this.world = new Group();
    this.world.rotation.x = -Math.PI / 2;
    this.lights = new Daylight();
    this.ground = makeGround();
    this.person = makePerson();
    this.wall = makeWall();
    this.wall.wanted = false;
    this.sizes = new Group();
    this.section = new Section();
    this.measuring = false;
    this.ruler = new Measure(holder, onMeasured);
    this.scene.add(this.world, this.lights, this.ground, this.wall, this.person, this.sizes, this.section.lines, this.ruler);
    this.camera = new PerspectiveCamera(VIEW_DEG, 1, 0.05, 60);
    this.camera.position.copy(FRONT_RIGHT_ABOVE).multiplyScalar(5);

    this.members = [];
    this.materials = [];
    this.look = {};
    this.apart = 0;
    this.opened = 0;
    this.lit = new Set();
    this.shown = { person: false, door: false, dimensions: false, edges: true, ground: "paving", cut: null, inch: 0 };
    this.box = new Box3(new Vector3(-1, 0, -1), new Vector3(1, 1, 1));
    this.untouched = true;
    this.ratio = Math.min(window.devicePixelRatio || 1, 2);
    this.movingRatio = Math.min(this.ratio, 1);
    this.frames = 0;
    this.listen();
  }

  // What the view is told.

  setScene(bytes) {
    this.waiting = bytes;
    this.change({ shadows: true });
  }

  setLook(look) {
    this.look = look;
    for (const { mesh, member } of this.members) if (look[member.timber]) mesh.material.wear(look[member.timber]);
    this.change();
  }

  setApart(share) {
    if (share === this.apart) return;
    this.apart = share;
    this.ruler.clear();
    this.place();
    this.change({ shadows: true, refit: true });
  }

  /** Doors, drawers and lids from shut, 0, to fully open, 1. */
  setOpened(share) {
    if (share === this.opened) return;
    this.opened = share;
    this.ruler.clear();
    this.place();
    this.change({ shadows: true, refit: true });
  }

  setLit(refs) {
    this.lit = new Set(refs);
    this.highlight();
    this.change();
  }

  setShow(show) {
    this.shown = { ...this.shown, ...show };
    this.ruler.inch = this.shown.inch;
    this.change({ shadows: "cut" in show, refit: "person" in show || "door" in show || "dimensions" in show });
  }

  /** While on, clicks pick the two points of a distance instead of members. */
  setMeasuring(on) {
    this.measuring = Boolean(on);
    if (!on) this.ruler.clear();
    this.ruler.near = null;
    this.canvas.style.cursor = on ? "crosshair" : "grab";
    this.change();
  }

  /** Where the eye stands and what it looks at, in metres. */
  get eye() {
    const three = (v) => v.toArray().map((c) => Math.round(c * 10000) / 10000);
    return { from: three(this.camera.position), at: three(this.controls.target) };
  }

  setEye({ from, at }) {
    if (!from?.length || !at?.length) return this.home();
    this.untouched = false;
    this.refit = false;
    this.fitting = true;
    this.controls.maxDistance = Math.max(this.controls.maxDistance, 100);
    this.camera.position.fromArray(from);
    this.controls.target.fromArray(at);
    this.controls.update();
    this.fitting = false;
    return this.change();
  }

  setCorner(text) {
    this.corner.textContent = text;
    this.corner.style.display = text ? "block" : "none";
  }

  /** The picture as PNG bytes, at full sharpness, averaged over sun and sky. */
  async picture(samples = SAMPLES) {
    this.settle();
    this.still(samples);
    const blob = await new Promise((done) => this.canvas.toBlob(done, "image/png"));
    return new Uint8Array(await blob.arrayBuffer());
  }

  home() {
    this.untouched = true;
    this.change({ refit: true });
  }

  dispose() {
    this.gone = true;
    cancelAnimationFrame(this.frame);
    clearTimeout(this.quiet);
    this.resized.disconnect();
    this.controls.dispose();
    this.clear();
    for (const material of this.materials) material.dispose();
    this.refiner?.dispose();
    this.lights.dispose();
    this.section.dispose();
    this.ruler.dispose();
    this.wall.traverse((o) => {
      o.geometry?.dispose();
      o.material?.dispose();
    });
    for (const m of [this.ground, this.person]) {
      m.geometry.dispose();
      m.material.dispose();
    }
    this.renderer.dispose();
    this.renderer.forceContextLoss();
    this.holder.replaceChildren();
  }

  // From bytes to meshes.

  clear() {
    for (const { edge, gluedEdge, litEdge } of this.world.children) {
      gluedEdge.dispose();
      edge.dispose();
      litEdge.dispose();
    }
    for (const { solid, edges } of this.shapes ?? []) {
      solid.dispose();
      edges.dispose();
    }
    this.clearSizes();
    this.world.clear();
    this.members = [];
  }

  clearSizes() {
    this.sizes.traverse((o) => {
      o.geometry?.dispose();
      o.material?.map?.dispose();
      o.material?.dispose();
    });
    this.sizes.clear();
  }

  load(bytes) {
    this.clear();
    this.ruler.clear();
    const { shapes, pieces } = readScene(bytes);
    this.shapes = shapes;
    this.several = new Set(pieces.map((piece) => piece.name)).size > 1;
    for (const piece of pieces) {
      const group = new Group();
      group.position.fromArray(piece.at);
      group.edge = new LineBasicMaterial({ color: EDGE.colour, transparent: true, opacity: EDGE.opacity });
      group.gluedEdge = new LineBasicMaterial({ color: EDGE.colour, transparent: true, opacity: GLUED_OPACITY });
      // Seen through what stands before it, so that a hidden member is found too.
      group.litEdge = new LineBasicMaterial({ color: ACCENT, depthTest: false, transparent: true, opacity: 0.8 });
      for (const member of piece.members) {
        const { solid, edges } = shapes[member.shape];
        const material = (this.materials[this.members.length] ??= new Timber());
        material.dress(member, solid.boundingBox);
        const mesh = new Mesh(solid, material);
        mesh.castShadow = mesh.receiveShadow = true;
        mesh.quaternion.copy(new Quaternion(...member.turn));
        if (member.glued) mesh.scale.y = 1 + LAP_MM / member.size_mm[1];
        mesh.add(new LineSegments(edges, edgeOf(member, group)));
        if (this.look[member.timber]) mesh.material.wear(this.look[member.timber]);
        group.add(mesh);
        const leaf = member.leaf ?? member.stay?.leaf;
        this.members.push({ mesh, member, group, leaf: leaf === undefined ? null : piece.leaves[leaf] });
      }
      this.world.add(group);
    }
    this.place(0, 0);
    this.whole = new Box3().setFromObject(this.world, true);
    // Of pieces alike one is measured.
    const first = (piece, k) => pieces.findIndex((other) => other.name === piece.name) === k;
    this.world.children.forEach((group, k) => {
      if (first(pieces[k], k)) this.sizes.add(makeSizes(this.timberBox(group), this.shown.inch));
    });
    this.place();
    this.highlight();
  }

  place(share = this.apart, opened = this.opened) {
    const open = openedBy(opened, share);
    const motions = new Map();
    for (const { mesh, member, leaf } of this.members) {
      if (leaf) {
        if (!motions.has(leaf)) motions.set(leaf, swung(leaf, open));
        carry(mesh, member, motions.get(leaf));
      } else {
        mesh.position.fromArray(member.at);
      }
      mesh.position.add(new Vector3(...drawn(member.pulls_mm, share)));
    }
    this.world.updateMatrixWorld(true);
    this.box = this.measure();
  }

  measure() {
    this.world.updateMatrixWorld(true);
    return this.members.length ? new Box3().setFromObject(this.world) : this.box;
  }

  /** What a piece measures over its timber, by its corners: the block round a leaning leg would reach into the floor.
   *  A hinge's knuckle or a bolt's head adds nothing to its sizes. */
  timberBox(group) {
    const box = new Box3();
    for (const one of this.members) {
      if (one.group === group && one.member.role !== "part") box.expandByObject(one.mesh, true);
    }
    return box.isEmpty() ? box.setFromObject(group, true) : box;
  }

  isLit({ piece, ref }) {
    return this.lit.has(ref) || this.lit.has(`${piece}/${ref}`);
  }

  highlight() {
    for (const { mesh, member, group } of this.members) {
      const lit = this.isLit(member);
      mesh.material.own.uLit.value = lit ? 1 : 0;
      mesh.children[0].material = lit ? group.litEdge : edgeOf(member, group);
    }
  }

  // Drawing.

  change({ shadows = false, refit = false } = {}) {
    if (this.gone) return;
    this.shadowsStale ||= shadows;
    this.refit ||= refit && this.untouched;
    this.refining = false;
    this.moving = true;
    this.frame ||= requestAnimationFrame(() => this.draw());
    clearTimeout(this.quiet);
    this.quiet = setTimeout(() => this.rest(), QUIET_MS);
  }

  settle() {
    if (this.waiting) {
      const first = !this.members.length;
      this.load(this.waiting);
      this.waiting = null;
      this.refit ||= first || this.untouched;
    }
    this.person.grow(typeof this.shown.person === "number" && this.shown.person > 0 ? this.shown.person : PERSON_M);
    if (this.refit) this.fit();
    this.refit = false;
    const { person, door, dimensions, edges, ground } = this.shown;
    this.person.visible = Boolean(person);
    this.wall.wanted = Boolean(door);
    this.cut();
    const open = this.members.some(({ leaf }) => leaf) ? openedBy(this.opened, this.apart) : 0;
    this.sizes.visible = Boolean(dimensions) && this.apart < 0.001 && open < 0.001;
    this.ground.visible = Boolean(ground);
    this.ground.own.uSlabs.value = ground === "floor" ? 0 : 1;
    for (const { mesh, group } of this.members) mesh.children[0].visible = edges || mesh.children[0].material === group.litEdge;
    const ball = this.box.getBoundingSphere(new Sphere());
    this.lights.cover(ball.center, ball.radius * 1.5);
    const reach = Math.max(3.2 * ball.radius, 2);
    this.ground.scale.setScalar(2 * reach);
    this.ground.position.set(ball.center.x, this.whole ? this.whole.min.y - 0.0005 : 0, ball.center.z);
    this.ground.own.uReach.value = reach;
    this.ground.own.uMiddle.value.set(ball.center.x, ball.center.z);
    this.person.position.copy(this.standing());
    this.wall.stand(this.box, this.ground.position.y);
    this.aside();
  }

  cut() {
    const { section } = this;
    const was = section.on;
    section.set(this.shown.cut, this.world.children);
    if (!section.on && !was) return;
    for (const { mesh, group } of this.members) cutMesh(mesh, section.planeOf(group));
    for (const group of this.world.children) {
      cutLine(group.edge, section.planeOf(group));
      cutLine(group.gluedEdge, section.planeOf(group));
      group.litEdge.clippingPlanes = section.on ? [section.planeOf(group)] : null;
    }
    if (section.on) section.outline(this.members);
  }

  aside() {
    this.person.rotation.y = Math.atan2(
      this.camera.position.x - this.person.position.x, this.camera.position.z - this.person.position.z,
    );
    this.wall.seenFrom(this.camera);
    this.camera.updateMatrixWorld();
    this.ruler.lay(this.camera, { width: this.holder.clientWidth, height: this.holder.clientHeight });
    if (!this.sizes.visible) return;
    const { clientWidth: width, clientHeight: height } = this.holder;
    const share = (NUMBER_PX / (height || 1)) * 2 * Math.tan((VIEW_DEG * Math.PI) / 360);
    sizeNumbers(this.sizes.children, this.camera, { width, height }, NUMBER_PX, share);
  }

  size(ratio) {
    const { clientWidth: w, clientHeight: h } = this.holder;
    if (!w || !h) return false;
    if (this.renderer.getPixelRatio() !== ratio) this.renderer.setPixelRatio(ratio);
    const was = this.renderer.getSize(new Vector2());
    if (was.x !== w || was.y !== h) this.renderer.setSize(w, h, false);
    if (this.camera.aspect !== w / h) {
      this.camera.aspect = w / h;
      this.camera.updateProjectionMatrix();
      this.refit ||= this.untouched;
    }
    return true;
  }

  draw() {
    this.frame = 0;
    if (this.gone) return;
    if (!this.size(this.moving ? this.movingRatio : this.ratio)) return;
    this.settle();
    const now = performance.now();
    if (this.moving && this.last && now - this.last > SLOW_FRAME_MS && now - this.last < 1000 && this.movingRatio > 0.5) {
      this.movingRatio = Math.max(0.5, this.movingRatio * 0.8);
    }
    this.last = this.moving ? now : 0;
    this.quick();
  }

  quick() {
    this.lights.plain();
    this.renderer.shadowMap.needsUpdate = this.shadowsStale !== false;
    this.shadowsStale = false;
    this.renderer.render(this.scene, this.camera);
    this.frames += 1;
  }

  /** Nothing has moved for a while: draw sharply, then as well as the machine can. */
  rest() {
    if (this.gone || !this.holder.clientWidth) return;
    this.moving = false;
    this.last = 0;
    this.size(this.ratio);
    this.settle();
    this.onRest(this.untouched ? null : this.eye);
    this.shadowsStale = true;
    const start = performance.now();
    this.quick();
    const gl = this.renderer.getContext();
    const drawn = gl.fenceSync(gl.SYNC_GPU_COMMANDS_COMPLETE, 0);
    gl.flush();
    const quiet = this.quiet;
    const look = () => {
      if (this.gone || quiet !== this.quiet) return gl.deleteSync(drawn);
      if (gl.getSyncParameter(drawn, gl.SYNC_STATUS) !== gl.SIGNALED) return setTimeout(look, 4);
      gl.deleteSync(drawn);
      // A sampled rendering draws a second shadow map, so about twice this one's time.
      if (2 * (performance.now() - start) * SAMPLES < REFINE_WITHIN_MS) this.refine();
    };
    setTimeout(look, 0);
  }

  refine() {
    this.begin();
    if (!this.refiner.able) return;
    this.refining = true;
    const more = () => {
      if (!this.refining || this.gone) return;
      for (let k = 0; k < 4; k += 1) this.refiner.step(this.scene, this.camera, this.lights);
      // Few samples show their separate shadows; wait until they have run together.
      if (this.refiner.taken >= SAMPLES / 2) this.refiner.show();
      if (this.refiner.taken < SAMPLES) requestAnimationFrame(more);
      else this.finish();
    };
    requestAnimationFrame(more);
  }

  begin() {
    this.refiner ??= new Refiner(this.renderer);
    const pixels = this.renderer.getDrawingBufferSize(new Vector2());
    this.refiner.start(pixels.x, pixels.y);
  }

  finish() {
    this.refining = false;
    this.shadowsStale = true;
    this.lights.plain();
  }

  still(samples) {
    this.size(this.ratio);
    this.begin();
    if (!this.refiner.able) return this.quick();
    const gl = this.renderer.getContext();
    const start = performance.now();
    while (this.refiner.taken < samples) {
      this.refiner.step(this.scene, this.camera, this.lights);
      if (this.refiner.taken % 4) continue;
      // Reading one pixel back waits for the drawing, so that a slow machine stops in time.
      this.renderer.readRenderTargetPixels(this.refiner.sum, 0, 0, 1, 1, new Uint16Array(4));
      if (this.refiner.taken >= FEWEST_SAMPLES && performance.now() - start > PICTURE_WITHIN_MS) break;
    }
    this.refiner.show();
    this.finish();
  }

  /** Everything in view from the home direction, as large as it goes. */
  fit() {
    const boxes = this.world.children.map((group) => new Box3().setFromObject(group));
    if (this.shown.dimensions) for (const b of boxes) b.expandByVector(new Vector3(0.16, 0, 0.16));
    if (this.shown.person) {
      const at = this.standing();
      boxes.push(new Box3(new Vector3(at.x - 0.26, at.y, at.z), new Vector3(at.x + 0.26, at.y + this.person.height, at.z)));
    }
    if (this.shown.door) {
      this.wall.stand(this.box, this.ground.position.y);
      boxes.push(new Box3().setFromObject(this.wall.door));
    }
    if (!boxes.length) boxes.push(this.box);
    const { camera } = this;
    camera.position.copy(FRONT_RIGHT_ABOVE);
    camera.lookAt(0, 0, 0);
    const back = camera.quaternion.clone().invert();
    const tall = Math.tan((VIEW_DEG * Math.PI) / 360) / MARGIN;
    const wide = tall * camera.aspect;
    // The four planes of the view, each pushed out until every corner lies inside.
    let right = -Infinity, left = -Infinity, top = -Infinity, bottom = -Infinity, near = -Infinity;
    for (const { min, max } of boxes) {
      for (let i = 0; i < 8; i += 1) {
        const c = new Vector3(i & 1 ? max.x : min.x, i & 2 ? max.y : min.y, i & 4 ? max.z : min.z).applyQuaternion(back);
        right = Math.max(right, c.x / wide + c.z);
        left = Math.max(left, -c.x / wide + c.z);
        top = Math.max(top, c.y / tall + c.z);
        bottom = Math.max(bottom, -c.y / tall + c.z);
        near = Math.max(near, c.z);
      }
    }
    const out = Math.max((right + left) / 2, (top + bottom) / 2);
    camera.position.set((wide * (right - left)) / 2, (tall * (top - bottom)) / 2, out).applyQuaternion(camera.quaternion);
    const middle = this.box.getCenter(new Vector3()).applyQuaternion(back);
    const arm = Math.max(out - middle.z, out - near + 0.1);
    this.fitting = true;
    this.controls.target.copy(camera.position).addScaledVector(FRONT_RIGHT_ABOVE, -arm);
    this.controls.minDistance = 0.25;
    this.controls.maxDistance = 4 * arm;
    this.controls.update();
    this.fitting = false;
  }

  standing() {
    return new Vector3(this.box.min.x - 0.42, this.ground.position.y, this.box.min.z + 0.2);
  }

  // Hands.

  listen() {
    const { canvas, holder } = this;
    let focused = false;
    canvas.addEventListener("focus", () => (focused = true));
    canvas.addEventListener("blur", () => (focused = false));
    // A page that is being scrolled must not stop at the picture: the wheel is the
    // picture's once it has been clicked or tabbed to.
    holder.addEventListener("wheel", (e) => focused || e.stopPropagation(), { capture: true, passive: true });
    this.controls = new OrbitControls(this.camera, canvas);
    this.controls.zoomToCursor = true;
    this.controls.addEventListener("change", () => {
      if (this.fitting) return;
      this.untouched = false;
      this.change();
    });
    canvas.addEventListener("keydown", (e) => this.key(e));
    canvas.addEventListener("dblclick", () => this.home());
    let down = null;
    canvas.addEventListener("pointerdown", (e) => {
      down = [e.clientX, e.clientY];
      canvas.focus({ preventScroll: true });
      this.hover(null);
    });
    canvas.addEventListener("pointerup", (e) => {
      if (down && Math.hypot(e.clientX - down[0], e.clientY - down[1]) < 5) this.click(e);
      down = null;
    });
    canvas.addEventListener("pointermove", (e) => down || this.hover(e));
    canvas.addEventListener("pointerleave", () => this.hover(null));
    canvas.addEventListener("keyup", (e) => {
      if (e.key !== "Escape") return;
      this.ruler.clear();
      this.change();
    });
    canvas.addEventListener("webglcontextlost", (e) => e.preventDefault());
    canvas.addEventListener("webglcontextrestored", () => this.change({ shadows: true }));
    this.resized = new ResizeObserver(() => this.change({ refit: true }));
    this.resized.observe(holder);
  }

  key(e) {
    const turn = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
    const { camera, controls } = this;
    const arm = camera.position.clone().sub(controls.target);
    if (turn && e.shiftKey) {
      const step = new Vector3(turn[0], -turn[1], 0).multiplyScalar(0.05 * arm.length()).applyQuaternion(camera.quaternion);
      camera.position.add(step);
      controls.target.add(step);
    } else if (turn) {
      const round = Math.atan2(arm.x, arm.z) + turn[0] * 0.12;
      const down = Math.min(Math.max(Math.acos(arm.y / arm.length()) + turn[1] * 0.1, 0.05), 3.09);
      camera.position.copy(controls.target).add(new Vector3().setFromSphericalCoords(arm.length(), down, round));
    } else if (e.key === "+" || e.key === "=" || e.key === "-") {
      camera.position.copy(controls.target).addScaledVector(arm, e.key === "-" ? 1.15 : 1 / 1.15);
    } else if (e.key === "Home") {
      this.home();
    } else {
      return;
    }
    e.preventDefault();
    e.stopPropagation();
    controls.update();
  }

  find(e) {
    const at = this.canvas.getBoundingClientRect();
    const point = new Vector2(((e.clientX - at.left) / at.width) * 2 - 1, 1 - ((e.clientY - at.top) / at.height) * 2);
    const ray = new Raycaster();
    ray.setFromCamera(point, this.camera);
    // The inside is hit through a cut face; the point meant is on that face.
    const hits = ray.intersectObjects(this.members.flatMap(({ mesh }) => [mesh, ...(this.section.on ? mesh.children.slice(1) : [])]), false);
    for (const { object, point: at } of hits) {
      const found = this.members.find(({ mesh }) => mesh === object || mesh === object.parent);
      const plane = this.section.planeOf(found.group);
      if (plane && plane.distanceToPoint(at) < -1e-6) continue;
      if (object === found.mesh) return { ...found, point: at };
      const face = ray.ray.intersectPlane(plane, new Vector3());
      if (face) return { ...found, point: face };
    }
    return null;
  }

  hover(e) {
    this.pointer = e;
    this.looking ||= requestAnimationFrame(() => {
      this.looking = 0;
      if (this.gone) return;
      const found = this.pointer && this.find(this.pointer);
      this.canvas.style.cursor = this.measuring ? "crosshair" : found ? "pointer" : "grab";
      if (found?.member !== this.under) {
        this.under = found?.member;
        this.onHover(found ? found.member : null);
      }
      if (this.measuring) {
        const near = found ? this.ruler.snapped(found, this.camera, this.canvas.getBoundingClientRect()) : null;
        this.ruler.near = near;
        this.aside();
      }
      this.label.style.display = found ? "block" : "none";
      if (!found) return;
      const { name, ref, piece, size_mm } = found.member;
      const { inch } = this.shown;
      const sizes = size_mm.map((v) => lengthWords(v, inch, { tenths: true, unit: false })).join(" × ");
      this.label.textContent = `${this.several ? `${piece}: ` : ""}${name} (${ref}) · ${sizes} ${inch ? "in" : "mm"}`;
      const at = this.holder.getBoundingClientRect();
      const x = Math.min(this.pointer.clientX - at.left + 14, at.width - this.label.offsetWidth - 4);
      const y = Math.max(this.pointer.clientY - at.top - 34, 4);
      this.label.style.transform = `translate(${Math.max(x, 4)}px, ${y}px)`;
    });
  }

  click(e) {
    const found = this.find(e);
    if (this.measuring) {
      if (found) this.ruler.pick(this.ruler.snapped(found, this.camera, this.canvas.getBoundingClientRect()));
      this.ruler.near = null;
      this.change();
      return;
    }
    this.onSelect(found ? found.member : null);
    if (e.pointerType === "touch") this.hover(e);
  }
}
