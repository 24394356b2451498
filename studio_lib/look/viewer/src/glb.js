// Reads the binary glTF that studio_lib.look.glb writes, and no other kind.
import { BufferAttribute, BufferGeometry, EdgesGeometry } from "three";

const ARRAYS = { 5123: Uint16Array, 5125: Uint32Array, 5126: Float32Array };
const SMALLEST_EDGE_DEG = 23; // as SMOOTH_DEG of studio_lib.piece.outline

/** {shapes: [{solid, edges}], pieces: [{name, at, members: [{shape, at, turn, ...extras}]}]} */
export function readScene(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (view.getUint32(0, true) !== 0x46546c67) throw new Error("not a binary glTF file");
  const textLength = view.getUint32(12, true);
  const doc = JSON.parse(new TextDecoder().decode(bytes.subarray(20, 20 + textLength)));
  const start = 20 + textLength + 8;

  const array = (index) => {
    const a = doc.accessors[index];
    const v = doc.bufferViews[a.bufferView];
    const from = bytes.byteOffset + start + v.byteOffset;
    return new ARRAYS[a.componentType](bytes.buffer.slice(from, from + v.byteLength));
  };
  const shapes = doc.meshes.map(({ primitives: [p] }) => {
    const solid = new BufferGeometry();
    solid.setAttribute("position", new BufferAttribute(array(p.attributes.POSITION), 3));
    solid.setAttribute("normal", new BufferAttribute(array(p.attributes.NORMAL), 3));
    solid.setIndex(new BufferAttribute(array(p.indices), 1));
    solid.computeBoundingBox();
    solid.computeBoundingSphere();
    return { solid, edges: new EdgesGeometry(solid, SMALLEST_EDGE_DEG) };
  });
  const pieces = doc.nodes[0].children.map((g) => {
    const group = doc.nodes[g];
    return {
      name: group.name,
      at: group.translation,
      leaves: group.extras?.leaves ?? [],
      members: group.children.map((n) => {
        const node = doc.nodes[n];
        return { shape: node.mesh, at: node.translation, turn: node.rotation, ...node.extras };
      }),
    };
  });
  return { shapes, pieces };
}
