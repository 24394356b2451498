// The timber material: three's own lighting over our own grain.
import {
  BackSide, Color, DoubleSide, FrontSide, KeepStencilOp, Mesh, MeshStandardMaterial, NotEqualStencilFunc, ReplaceStencilOp,
  Vector3, Vector4,
} from "three";
import grain from "./grain.glsl";

export const ACCENT = 0x2674ab;

export class Timber extends MeshStandardMaterial {
  /** side: BackSide for the inside of a board, seen where it is cut; that one shares the uniforms of its outside. */
  constructor(side = FrontSide, own = null) {
    super({
      metalness: 0, roughness: 0.7, shadowSide: DoubleSide, side,
      polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1,
    });
    this.own = own ?? {
      uSize: { value: new Vector3() },
      uSeed: { value: 0 },
      uBase: { value: new Color(0xb08a5c) },
      uLate: { value: new Color(0x8a6238) },
      uRing: { value: 2.5 },
      uGrey: { value: 0 },
      uLit: { value: 0 },
      uAccent: { value: new Color(ACCENT) },
      uCut: { value: new Vector4() },
      uLo: { value: new Vector3() },
      uHi: { value: new Vector3() },
    };
  }

  /** For one member: what the scene says of it, and its shape's bounds in its own axes, m. A material is used again
      for the next scene, since making one anew costs more than all else that a moved slider asks of the browser. */
  dress(member, box) {
    this.own.uSize.value.fromArray(member.size_mm);
    this.own.uSeed.value = member.seed;
    // Set behind its lines, a flat face lets the steep edge of the board glued to it come through the seam.
    this.polygonOffset = !member.glued;
    this.own.uLit.value = 0;
    this.own.uLo.value.copy(box.min).multiplyScalar(1000).subScalar(0.2);
    this.own.uHi.value.copy(box.max).multiplyScalar(1000).addScalar(0.2);
  }

  /** The same board from inside. */
  get inside() {
    this.back ??= new Timber(BackSide, this.own);
    return this.back;
  }

  dispose() {
    super.dispose();
    this.back?.dispose();
  }

  wear(look) {
    this.own.uBase.value.set(look.base_hex);
    this.own.uLate.value.set(look.late_hex);
    this.own.uRing.value = look.ring_mm;
    this.own.uGrey.value = look.grey_fraction;
    this.roughness = look.roughness;
  }

  customProgramCacheKey() {
    return `timber${this.clippingPlanes ? ", cut" : ""}${this.side === BackSide ? ", inside" : ""}`;
  }

  onBeforeCompile(shader) {
    const cut = Boolean(this.clippingPlanes);
    const inside = this.side === BackSide;
    Object.assign(shader.uniforms, this.own);
    shader.vertexShader = shader.vertexShader
      .replace(
        "#include <common>",
        `#include <common>
        varying vec3 vMember; varying vec3 vFace;
        ${cut ? "uniform vec4 uCut; varying vec3 vEye; varying vec4 vPlane;" : ""}`,
      )
      .replace(
        "#include <begin_vertex>",
        `#include <begin_vertex>
        vMember = position * 1000.0;
        vFace = normal;
        ${cut ? CUT_VERTEX : ""}`,
      );
    shader.fragmentShader = shader.fragmentShader
      .replace(
        "#include <common>",
        `#include <common>
        varying vec3 vMember; varying vec3 vFace;
        ${cut ? "varying vec3 vEye; varying vec4 vPlane;" : ""}
        uniform vec3 uSize, uBase, uLate, uAccent;
        uniform float uSeed, uRing, uGrey, uLit;
        ${cut ? "uniform vec3 uLo, uHi;" : ""}
        ${grain}`,
      )
      .replace(
        "#include <color_fragment>",
        `vec3 spot = vMember, facing = vFace;
        ${cut && inside ? CUT_PLACE : ""}
        diffuseColor.rgb = timber(spot, facing, uSize, uSeed, uBase, uLate, uRing, uGrey);
        diffuseColor.rgb = mix(diffuseColor.rgb, uAccent, 0.55 * uLit);`,
      )
      .replace("#include <opaque_fragment>", `#include <opaque_fragment>\n${cut ? (inside ? CUT_LIGHT : CUT_OUTSIDE) : ""}`);
  }
}

const CUT_PIXEL = 1;

/**
 * Cut a member by a plane, or make it whole again. A cut face is the inside of the member's far side, coloured as
 * the board is where the plane meets the eye's ray. Its pixels are marked, so that arrises behind it stay hidden.
 */
export function cutMesh(mesh, plane) {
  if (plane && !mesh.children[1]) mesh.add(new Mesh(mesh.geometry, mesh.material.inside));
  for (const [k, material] of [mesh.material, mesh.material.back].entries()) {
    if (!material) continue;
    const changed = Boolean(plane) !== Boolean(material.clippingPlanes);
    if (plane) material.own.uCut.value.set(plane.normal.x, plane.normal.y, plane.normal.z, plane.constant);
    material.clippingPlanes = plane && [plane];
    if (!changed) continue;
    Object.assign(material, {
      clipShadows: Boolean(plane), needsUpdate: true,
      stencilWrite: Boolean(plane), stencilRef: k ? CUT_PIXEL : 0, stencilZPass: ReplaceStencilOp,
    });
  }
  if (mesh.children[1]) mesh.children[1].visible = Boolean(plane);
}

/** The same for lines along arrises. */
export function cutLine(line, plane) {
  line.clippingPlanes = plane && [plane];
  Object.assign(line, {
    stencilWrite: Boolean(plane), stencilFunc: NotEqualStencilFunc, stencilRef: CUT_PIXEL,
    stencilFail: KeepStencilOp, stencilZFail: KeepStencilOp, stencilZPass: KeepStencilOp,
  });
}

// All in the member's own axes, mm.
const CUT_VERTEX = `
        mat3 back = transpose(mat3(modelMatrix));
        vEye = back * (cameraPosition - modelMatrix[3].xyz) * 1000.0;
        vPlane = vec4(back * uCut.xyz, (dot(uCut.xyz, modelMatrix[3].xyz) + uCut.w) * 1000.0);`;
const CUT_PLACE = `
        vec3 ray = vMember - vEye;
        spot = vEye - ray * (dot(vPlane.xyz, vEye) + vPlane.w) / dot(vPlane.xyz, ray);
        facing = vPlane.xyz;
        // The inside shows only through the cut face itself.
        if (any(lessThan(spot, uLo)) || any(greaterThan(spot, uHi))) discard;`;
const CUT_OUTSIDE = "gl_FragDepth = gl_FragCoord.z + min(fwidth(gl_FragCoord.z), 0.00002);";
// Evenly lit, and half a millimetre nearer than the face of the next board that touches it from outside.
const CUT_LIGHT = `
        gl_FragColor.rgb = diffuseColor.rgb * 1.02;
        gl_FragDepth = gl_FragCoord.z - 0.00003 * gl_FragCoord.w * gl_FragCoord.w;`;
