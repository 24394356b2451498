// A plane that takes the near part of the piece away; the faces it cuts are filled with the
// board's own grain (see timber.js) and drawn round with a line.
import {
  Box3, BufferGeometry, Float32BufferAttribute, LineBasicMaterial, LineSegments, Plane, Vector3,
} from "three";

// What goes: the right of it, the front of it, what is above it. The axes are glTF's.
const WAYS = { length: [-1, 0, 0], width: [0, 0, -1], height: [0, -1, 0] };
const INK = 0x2a1d10;
const OFF_M = 0.0004;

export class Section {
  constructor() {
    this.on = false;
    this.planes = new Map();
    this.lines = new LineSegments(new BufferGeometry(), new LineBasicMaterial({ color: INK }));
    this.lines.frustumCulled = false;
    this.lines.visible = false;
  }

  /** cut: {axis: 'length' | 'width' | 'height', at: 0 to 1} or null; every piece is cut at the same share of itself. */
  set(cut, groups) {
    const way = cut && WAYS[cut.axis];
    this.on = Boolean(way);
    this.lines.visible = this.on;
    this.planes.clear();
    if (!this.on) return;
    const share = cut.axis === "width" ? 1 - cut.at : cut.at;
    for (const group of groups) {
      const box = new Box3().setFromObject(group);
      const at = new Vector3().lerpVectors(box.min, box.max, share);
      this.planes.set(group, new Plane().setFromNormalAndCoplanarPoint(new Vector3(...way), at));
    }
  }

  planeOf(group) {
    return this.planes.get(group) ?? null;
  }

  /** The outlines of all cut faces. */
  outline(members) {
    const found = [];
    const p = [new Vector3(), new Vector3(), new Vector3()];
    const far = [0, 0, 0];
    for (const { mesh, group } of members) {
      const plane = this.planeOf(group);
      const { position } = mesh.geometry.attributes;
      const index = mesh.geometry.index.array;
      for (let t = 0; t < index.length; t += 3) {
        for (let k = 0; k < 3; k += 1) {
          p[k].fromBufferAttribute(position, index[t + k]).applyMatrix4(mesh.matrixWorld);
          far[k] = plane.distanceToPoint(p[k]);
        }
        const ends = [];
        for (let k = 0; k < 3; k += 1) {
          const [a, b] = [far[k], far[(k + 1) % 3]];
          if (a < 0 !== b < 0) ends.push(p[k].clone().lerp(p[(k + 1) % 3], a / (a - b)).addScaledVector(plane.normal, -OFF_M));
        }
        if (ends.length === 2) for (const e of ends) found.push(e.x, e.y, e.z);
      }
    }
    this.lines.geometry.dispose();
    this.lines.geometry = new BufferGeometry();
    this.lines.geometry.setAttribute("position", new Float32BufferAttribute(found, 3));
  }

  dispose() {
    this.lines.geometry.dispose();
    this.lines.material.dispose();
  }
}
