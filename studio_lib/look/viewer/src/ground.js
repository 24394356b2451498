// What the piece stands on, and the person beside it: plain, pale, never the subject.
import {
  BufferGeometry, CircleGeometry, Float32BufferAttribute, Group, LineBasicMaterial, LineSegments, Mesh, MeshBasicMaterial,
  MeshStandardMaterial, PlaneGeometry, Shape, ShapeGeometry, SplineCurve, Vector2,
} from "three";
import paving from "./paving.glsl";

export const BACKDROP = 0xeef0ef;
export const PERSON_M = 1.7;

/** A floor that fades into the backdrop; 'paving' has slabs 600 x 400 mm, 'floor' is plain. */
export function makeGround() {
  const material = new MeshStandardMaterial({ color: 0xcfccc4, roughness: 1, transparent: true });
  const own = {
    uSlabs: { value: 1 }, uReach: { value: 4 }, uMiddle: { value: new Vector2() },
  };
  material.onBeforeCompile = (shader) => {
    Object.assign(shader.uniforms, own);
    shader.vertexShader = shader.vertexShader
      .replace("#include <common>", "#include <common>\nvarying vec2 vFloor;")
      .replace("#include <begin_vertex>", "#include <begin_vertex>\nvFloor = (modelMatrix * vec4(position, 1.0)).xz;");
    shader.fragmentShader = shader.fragmentShader
      .replace(
        "#include <common>",
        `#include <common>
        varying vec2 vFloor; uniform float uSlabs, uReach; uniform vec2 uMiddle;
        ${paving}`,
      )
      .replace(
        "#include <color_fragment>",
        `diffuseColor.rgb *= mix(1.0, paving(vFloor), uSlabs);
        diffuseColor.a *= 1.0 - smoothstep(0.35 * uReach, uReach, length(vFloor - uMiddle));`,
      );
  };
  const ground = new Mesh(new PlaneGeometry(1, 1), material);
  ground.rotation.x = -Math.PI / 2;
  ground.receiveShadow = true;
  ground.renderOrder = -1;
  ground.own = own;
  return ground;
}

// Half an outline, crown to crotch, in metres; the other half is its mirror.
const HALF = [
  [0, 1.7], [0.03, 1.697], [0.06, 1.673], [0.075, 1.63], [0.076, 1.585], [0.065, 1.535], [0.05, 1.5], [0.05, 1.455],
  [0.095, 1.425], [0.17, 1.4], [0.21, 1.355], [0.228, 1.25], [0.243, 1.1], [0.252, 0.95], [0.262, 0.85],
  [0.258, 0.77], [0.238, 0.745], [0.222, 0.79], [0.212, 0.92], [0.193, 1.06], [0.178, 1.16], [0.168, 1.08],
  [0.172, 0.96], [0.178, 0.86], [0.17, 0.7], [0.148, 0.5], [0.135, 0.36], [0.115, 0.1], [0.14, 0.035],
  [0.145, 0.0], [0.05, 0.0], [0.045, 0.09], [0.035, 0.36], [0.028, 0.5], [0.012, 0.78],
];

/** A standing person, 1.70 m, flat; `grow` makes it as tall as it is told. */
export function makePerson() {
  const outline = (sign) => HALF.map(([x, y]) => new Vector2(sign * x, y));
  // The curve swings past its points a little; soles stand on the floor.
  const smooth = (points) => new SplineCurve(points).getPoints(160).map(({ x, y }) => new Vector2(x, Math.min(Math.max(y, 0), PERSON_M)));
  const half = smooth(outline(1));
  const shape = new Shape([...half, ...smooth(outline(-1)).reverse()]);
  const person = new Mesh(
    new ShapeGeometry(shape),
    new MeshBasicMaterial({ color: 0x8b959c, transparent: true, opacity: 0.55, depthWrite: false }),
  );
  person.grow = (tall) => {
    person.height = tall;
    person.scale.setScalar(tall / PERSON_M);
  };
  person.grow(PERSON_M);
  return person;
}

// An inside door in common sizes, m: leaf, frame round it, handle above the floor. From memory.
export const DOOR = { wide: 0.83, high: 2.03, frame: 0.07, handle: 1.0 };
const WALL = { high: 2.5, beyond: 1.9, skirting: 0.09 };

/** A wall with a door in it, seen from the front only, fading out to its sides; place it with `stand`. */
export function makeWall() {
  const group = new Group();
  const material = new MeshStandardMaterial({ color: 0xe9e7e1, roughness: 1, transparent: true });
  const own = { uHalf: { value: 2 } };
  material.onBeforeCompile = (shader) => {
    Object.assign(shader.uniforms, own);
    shader.vertexShader = shader.vertexShader
      .replace("#include <common>", "#include <common>\nvarying vec2 vWall;")
      .replace("#include <begin_vertex>", "#include <begin_vertex>\nvWall = (mat3(modelMatrix) * position).xy;");
    shader.fragmentShader = shader.fragmentShader
      .replace("#include <common>", "#include <common>\nvarying vec2 vWall; uniform float uHalf;")
      .replace(
        "#include <color_fragment>",
        "diffuseColor.a *= 0.9 * (1.0 - smoothstep(0.55 * uHalf, uHalf, abs(vWall.x))) * (1.0 - smoothstep(0.85, 1.25, vWall.y));",
      );
  };
  const wall = new Mesh(new PlaneGeometry(1, WALL.high), material);
  wall.position.y = WALL.high / 2;
  wall.receiveShadow = true;
  const plain = (w, h, colour, x, y, z) => {
    const m = new Mesh(new PlaneGeometry(w, h), new MeshStandardMaterial({ color: colour, roughness: 0.9 }));
    m.position.set(x, y, z);
    m.receiveShadow = true;
    return m;
  };
  const door = new Group();
  const { wide, high, frame } = DOOR;
  door.add(
    plain(wide + 2 * frame, high + frame, 0xf3f2ee, 0, (high + frame) / 2, 0.004),
    plain(wide, high - 0.005, 0xdedbd2, 0, high / 2, 0.008),
  );
  const knob = new Mesh(new CircleGeometry(0.028, 20), new MeshBasicMaterial({ color: 0x7c7f80 }));
  knob.position.set(wide / 2 - 0.07, DOOR.handle, 0.012);
  const [x, o] = [wide / 2, wide / 2 + frame];
  const lines = new BufferGeometry();
  const run = (...p) => p.slice(1).flatMap((to, k) => [...p[k], 0.012, ...to, 0.012]);
  lines.setAttribute("position", new Float32BufferAttribute([
    ...run([-x, 0], [-x, high], [x, high], [x, 0]), ...run([-o, 0], [-o, high + frame], [o, high + frame], [o, 0]),
  ], 3));
  door.add(knob, new LineSegments(lines, new LineBasicMaterial({ color: 0x8f9498 })));
  group.add(wall, door);
  group.stand = (box, floor) => {
    const half = (box.max.x - box.min.x) / 2 + WALL.beyond;
    own.uHalf.value = half;
    wall.scale.x = 2 * half;
    group.position.set((box.min.x + box.max.x) / 2, floor, box.min.z - 0.55);
    // Behind a low piece; beside a tall one, so that the whole door is seen.
    door.position.x = half - WALL.beyond + (box.max.y - floor < 1.2 ? -0.4 : wide / 2 + frame + 0.12);
  };
  group.door = door;
  // The door must not shine through a wall seen from behind.
  group.seenFrom = (camera) => {
    group.visible = group.wanted && camera.position.z > group.position.z + 0.05;
  };
  group.traverse((o) => { o.renderOrder = -1; });
  return group;
}
