// The piece in the client's own room, at its true size, on a phone that offers it (WebXR). Such a
// phone asks that the page came over https; from a file on the phone the button does not show.
import { DoubleSide, Mesh, MeshBasicMaterial, RingGeometry } from "three";

const KIND = "immersive-ar";

export async function canPlace() {
  try {
    return Boolean(await navigator.xr?.isSessionSupported(KIND));
  } catch {
    return false;
  }
}

function makeMark() {
  const mark = new Mesh(
    new RingGeometry(0.12, 0.15, 40).rotateX(-Math.PI / 2),
    new MeshBasicMaterial({ color: 0x2674ab, side: DoubleSide }),
  );
  mark.matrixAutoUpdate = false;
  mark.visible = false;
  return mark;
}

/** Opens the camera, marks the floor, and stands the piece where the floor is tapped; ends with `ended()`. */
export async function placeInRoom(view, overlay, ended) {
  const session = await navigator.xr.requestSession(KIND, {
    requiredFeatures: ["hit-test"], optionalFeatures: ["dom-overlay"], domOverlay: { root: overlay },
  });
  const { renderer, scene, camera, world, ground, wall, person } = view;
  const before = { background: scene.background, shown: view.shown };
  view.shown = { ...view.shown, ground: "", door: false, person: false, dimensions: false, cut: null };
  view.settle();
  scene.background = null;
  const mark = makeMark();
  scene.add(mark);
  world.visible = false;
  renderer.xr.enabled = true;
  renderer.xr.setReferenceSpaceType("local");
  await renderer.xr.setSession(session);
  const base = renderer.xr.getReferenceSpace();
  const hits = await session.requestHitTestSource({ space: await session.requestReferenceSpace("viewer") });
  let floor = null;
  session.addEventListener("select", () => {
    if (!floor) return;
    const { position } = floor.transform;
    const eye = floor.eye;
    const turn = Math.atan2(eye.x - position.x, eye.z - position.z) / 2;
    renderer.xr.setReferenceSpace(base.getOffsetReferenceSpace(new XRRigidTransform(
      position, { x: 0, y: Math.sin(turn), z: 0, w: Math.cos(turn) },
    )));
    world.visible = true;
    mark.visible = false;
    renderer.shadowMap.needsUpdate = true;
  });
  renderer.setAnimationLoop((_time, frame) => {
    if (!frame) return;
    const found = frame.getHitTestResults(hits)[0]?.getPose(base);
    if (found) {
      floor = { transform: found.transform, eye: frame.getViewerPose(base)?.transform.position ?? found.transform.position };
      mark.matrix.fromArray(found.transform.matrix);
      mark.visible = !world.visible;
    }
    renderer.render(scene, camera);
  });
  session.addEventListener("end", () => {
    renderer.setAnimationLoop(null);
    renderer.xr.enabled = false;
    scene.remove(mark);
    mark.geometry.dispose();
    mark.material.dispose();
    world.visible = ground.visible = true;
    scene.background = before.background;
    view.shown = before.shown;
    wall.wanted = person.visible = false;
    view.change({ shadows: true, refit: true });
    ended();
  });
  return session;
}
