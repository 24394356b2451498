// The distance between two points picked on the piece; a point near a corner is the corner.
import { BufferGeometry, Float32BufferAttribute, Group, LineBasicMaterial, LineSegments, Vector3 } from "three";
import { lengthWords } from "./lengths.js";
import { ACCENT } from "./timber.js";

const SNAP_PX = 14;
const LABEL = {
  position: "absolute", pointerEvents: "none", font: "600 13px/1.3 system-ui, sans-serif", color: "#173f5c",
  background: "rgba(252,252,250,.96)", border: "1px solid #2674ab", borderRadius: "6px", padding: "3px 8px",
  whiteSpace: "nowrap", zIndex: 2, display: "none", left: 0, top: 0,
};
const DOT = {
  position: "absolute", pointerEvents: "none", width: "11px", height: "11px", borderRadius: "50%",
  border: "2px solid #2674ab", background: "rgba(255,255,255,.85)", zIndex: 2, display: "none", left: 0, top: 0,
};

const piece_mm = (v) => [v.x, -v.z, v.y].map((c) => Math.round(c * 10000) / 10);

export class Measure extends Group {
  constructor(holder, onMeasured) {
    super();
    this.onMeasured = onMeasured;
    this.points = [];
    this.near = null;
    this.geometry = new BufferGeometry();
    this.geometry.setAttribute("position", new Float32BufferAttribute(6, 3));
    this.line = new LineSegments(this.geometry, new LineBasicMaterial({ color: ACCENT, depthTest: false }));
    this.line.frustumCulled = false;
    this.line.renderOrder = 9;
    this.line.visible = false;
    this.add(this.line);
    const div = (style) => {
      const node = document.createElement("div");
      Object.assign(node.style, style);
      holder.append(node);
      return node;
    };
    this.label = div(LABEL);
    this.dots = [div(DOT), div(DOT), div(DOT)];
  }

  clear() {
    if (!this.points.length && !this.near) return;
    this.points = [];
    this.near = null;
    this.line.visible = false;
    this.onMeasured(null);
  }

  /** The point meant by a hit on a member: one of its corners when one is close on the screen. */
  snapped({ mesh, point }, camera, { width, height }) {
    const px = (v) => {
      const s = v.clone().project(camera);
      return [((s.x + 1) / 2) * width, ((1 - s.y) / 2) * height];
    };
    const [x, y] = px(point);
    const { position } = mesh.children[0].geometry.attributes;
    let best = null;
    let least = SNAP_PX;
    const corner = new Vector3();
    for (let k = 0; k < position.count; k += 1) {
      corner.fromBufferAttribute(position, k).applyMatrix4(mesh.matrixWorld);
      const [cx, cy] = px(corner);
      const far = Math.hypot(cx - x, cy - y);
      if (far < least) {
        least = far;
        best = corner.clone();
      }
    }
    return best ?? point.clone();
  }

  pick(point) {
    if (this.points.length === 2) this.points = [];
    this.points.push(point);
    this.line.visible = this.points.length === 2;
    if (!this.line.visible) return this.onMeasured(null);
    const [a, b] = this.points;
    this.geometry.attributes.position.array.set([...a.toArray(), ...b.toArray()]);
    this.geometry.attributes.position.needsUpdate = true;
    const [from, to] = [piece_mm(a), piece_mm(b)];
    return this.onMeasured({ from, to, mm: Math.round(a.distanceTo(b) * 10000) / 10 });
  }

  /** Dots and words where they belong on the screen. */
  lay(camera, { width, height }) {
    const at = (v) => {
      const s = v.clone().project(camera);
      return [((s.x + 1) / 2) * width, ((1 - s.y) / 2) * height];
    };
    [...this.points, ...Array(2 - this.points.length), this.near].forEach((point, k) => {
      this.dots[k].style.display = point ? "block" : "none";
      if (!point) return;
      const [x, y] = at(point);
      this.dots[k].style.transform = `translate(${x - 7.5}px, ${y - 7.5}px)`;
    });
    const whole = this.points.length === 2;
    this.label.style.display = whole ? "block" : "none";
    if (!whole) return;
    const [a, b] = this.points;
    const each = piece_mm(b.clone().sub(a)).map((c) => Math.abs(c));
    const far = Math.round(a.distanceTo(b) * 10000) / 10;
    const words = (mm, unit) => lengthWords(mm, this.inch, { tenths: true, unit });
    const parts = each.filter((c) => c > 0.05).length > 1
      ? ` (along ${words(each[0], false)}, across ${words(each[1], false)}, up ${words(each[2], false)})` : "";
    this.label.textContent = `${words(far, true)}${parts}`;
    // Above both points, so that it hides neither them nor the line.
    const [[ax, ay], [bx, by]] = [at(a), at(b)];
    const { offsetWidth: w, offsetHeight: h } = this.label;
    const x = Math.min(Math.max((ax + bx - w) / 2, 4), width - w - 4);
    const y = Math.min(Math.max(Math.min(ay, by) - h - 14, 4), height - h - 4);
    this.label.style.transform = `translate(${x}px, ${y}px)`;
  }

  dispose() {
    this.geometry.dispose();
    this.line.material.dispose();
  }
}
