// Overall dimension lines with their numbers, drawn into the picture itself.
import {
  BufferGeometry, CanvasTexture, Float32BufferAttribute, Group, LineBasicMaterial, LineSegments,
  Sprite, SpriteMaterial, SRGBColorSpace, Vector3,
} from "three";

import { lengthWords } from "./lengths.js";

const OFF_M = 0.1;
const TICK_M = 0.018;
const INK = 0x3b4650;
const TEXT_PX = 44;

function number(text) {
  const canvas = document.createElement("canvas");
  const pen = canvas.getContext("2d");
  const font = `600 ${TEXT_PX}px system-ui, "Segoe UI", Roboto, "Helvetica Neue", sans-serif`;
  pen.font = font;
  canvas.width = Math.ceil(pen.measureText(text).width) + 28;
  canvas.height = TEXT_PX + 22;
  pen.font = font;
  pen.fillStyle = "rgba(250,250,248,0.92)";
  pen.beginPath();
  pen.roundRect(0, 0, canvas.width, canvas.height, 14);
  pen.fill();
  pen.fillStyle = "#27323b";
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.fillText(text, canvas.width / 2, canvas.height / 2 + 2);
  const map = new CanvasTexture(canvas);
  map.colorSpace = SRGBColorSpace;
  const sprite = new Sprite(new SpriteMaterial({ map, sizeAttenuation: false, depthTest: false, transparent: true }));
  sprite.renderOrder = 10;
  sprite.aspect = canvas.width / canvas.height;
  return sprite;
}

/** Length in front, width at the right, height at the left, of one box in metres; the numbers are mm, or inches in `inch` parts. */
export function makeSizes(box, inch = 0) {
  const { min: a, max: b } = box;
  const size = box.getSize(new Vector3());
  const floor = a.y + 0.002;
  const lines = [
    [[a.x, floor, b.z + OFF_M], [b.x, floor, b.z + OFF_M], [0, 0, TICK_M], size.x],
    [[b.x + OFF_M, floor, a.z], [b.x + OFF_M, floor, b.z], [TICK_M, 0, 0], size.z],
    [[a.x - OFF_M, a.y, b.z], [a.x - OFF_M, b.y, b.z], [TICK_M, 0, 0], size.y],
  ];
  const group = new Group();
  const points = [];
  group.numbers = [];
  for (const [from, to, tick, metres] of lines) {
    points.push(...from, ...to);
    for (const end of [from, to]) {
      points.push(...end.map((v, i) => v - tick[i]), ...end.map((v, i) => v + tick[i]));
    }
    const label = number(lengthWords(metres * 1000, inch, { unit: false }));
    label.from = new Vector3(...from);
    label.to = new Vector3(...to);
    group.add(label);
    group.numbers.push(label);
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new Float32BufferAttribute(points, 3));
  group.add(new LineSegments(geometry, new LineBasicMaterial({ color: INK })));
  return group;
}

const PLACES = [0.5, 0.35, 0.65, 0.22, 0.78, 0.1, 0.9];

/** Keeps the numbers at one height on the screen, each on its line and clear of the others. */
export function sizeNumbers(groups, camera, canvas_px, number_px, share) {
  const taken = [];
  const { width, height } = canvas_px;
  for (const label of groups.flatMap((group) => group.numbers)) {
    label.scale.set(share * label.aspect, share, 1);
    const half = { x: (number_px * label.aspect) / 2, y: number_px / 2 };
    const free = (place) => {
      label.position.lerpVectors(label.from, label.to, place);
      const seen = label.position.clone().project(camera);
      label.box = { x: ((seen.x + 1) / 2) * width, y: ((1 - seen.y) / 2) * height, half };
      return taken.every((b) => Math.abs(b.x - label.box.x) > b.half.x + half.x || Math.abs(b.y - label.box.y) > b.half.y + half.y);
    };
    if (!PLACES.some(free)) free(0.5);
    taken.push(label.box);
  }
}
