// Doors about their pins, lids, drawers along their runners: moved as the file tells, nothing asked of anyone.
import { Matrix4, Quaternion, Vector3 } from "three";

// What is taken apart is shut first: by this share of taking it apart.
const SHUT_BY = 0.15;

export const openedBy = (opened, apart) => {
  const gone = Math.min(apart / SHUT_BY, 1);
  return opened * (1 - gone * gone * (3 - 2 * gone));
};

/** The motion of one leaf in metres, as a matrix. */
export function swung(leaf, share) {
  if (leaf.mm !== undefined) return new Matrix4().makeTranslation(...leaf.way.map((w) => 0.001 * share * leaf.mm * w));
  const at = new Vector3(...leaf.at_mm).multiplyScalar(0.001);
  const turn = new Matrix4().makeRotationAxis(new Vector3(...leaf.axis), (share * leaf.deg * Math.PI) / 180);
  const moved = at.clone().sub(at.clone().applyMatrix4(turn));
  return turn.setPosition(moved);
}

/** Puts a member where it is once its leaf has moved; `motion` is that leaf's. */
export function carry(mesh, member, motion) {
  const at = new Vector3(...member.at);
  const turn = new Quaternion(...member.turn);
  if (member.stay) {
    // A stay's tube points to where the lid holds its rod, and the rod back to the tube's foot.
    const foot = new Vector3(...member.stay.foot_mm).multiplyScalar(0.001);
    const head = new Vector3(...member.stay.head_mm).multiplyScalar(0.001).applyMatrix4(motion);
    const [from, to] = member.stay.on_case ? [foot, head] : [head, foot];
    mesh.position.copy(from);
    mesh.quaternion.setFromUnitVectors(new Vector3(1, 0, 0), to.clone().sub(from).normalize());
    return;
  }
  mesh.position.copy(at.applyMatrix4(motion));
  mesh.quaternion.setFromRotationMatrix(motion).multiply(turn);
}
