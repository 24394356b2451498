// The timber material: three's own lighting over our own grain.
import { Color, DoubleSide, FrontSide, MeshStandardMaterial, Vector3, Vector4 } from "three";
import grain from "./grain.glsl";

export const ACCENT = 0x2674ab;

export class Timber extends MeshStandardMaterial {
  constructor(member) {
    super({
      metalness: 0, roughness: 0.7, shadowSide: DoubleSide,
      polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1,
    });
    this.own = {
      uSize: { value: new Vector3(...member.size_mm) },
      uSeed: { value: member.seed },
      uBase: { value: new Color(0xb08a5c) },
      uLate: { value: new Color(0x8a6238) },
      uRing: { value: 2.5 },
      uGrey: { value: 0 },
      uLit: { value: 0 },
      uAccent: { value: new Color(ACCENT) },
      uCut: { value: new Vector4() },
    };
  }

  wear(look) {
    this.own.uBase.value.set(look.base_hex);
    this.own.uLate.value.set(look.late_hex);
    this.own.uRing.value = look.ring_mm;
    this.own.uGrey.value = look.grey_fraction;
    this.roughness = look.roughness;
  }

  /** Cut by a plane, or whole again: a cut face is the inside of the far side, seen where the plane meets the eye's ray. */
  cutBy(section) {
    const planes = section.planes;
    if (planes) {
      const { normal, constant } = section.plane;
      this.own.uCut.value.set(normal.x, normal.y, normal.z, constant);
    }
    if (Boolean(planes) === Boolean(this.clippingPlanes)) return;
    this.clippingPlanes = planes;
    this.clipShadows = Boolean(planes);
    this.side = planes ? DoubleSide : FrontSide;
    this.needsUpdate = true;
  }

  customProgramCacheKey() {
    return this.clippingPlanes ? "timber, cut" : "timber";
  }

  onBeforeCompile(shader) {
    const cut = Boolean(this.clippingPlanes);
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
        ${grain}`,
      )
      .replace(
        "#include <color_fragment>",
        `vec3 spot = vMember, facing = vFace;
        ${cut ? CUT_PLACE : ""}
        diffuseColor.rgb = timber(spot, facing, uSize, uSeed, uBase, uLate, uRing, uGrey);
        diffuseColor.rgb = mix(diffuseColor.rgb, uAccent, 0.55 * uLit);`,
      )
      .replace("#include <opaque_fragment>", `#include <opaque_fragment>\n${cut ? CUT_LIGHT : ""}`);
  }
}

// All in the member's own axes, mm.
const CUT_VERTEX = `
        mat3 back = transpose(mat3(modelMatrix));
        vEye = back * (cameraPosition - modelMatrix[3].xyz) * 1000.0;
        vPlane = vec4(back * uCut.xyz, (dot(uCut.xyz, modelMatrix[3].xyz) + uCut.w) * 1000.0);`;
const CUT_PLACE = `
        if (!gl_FrontFacing) {
          vec3 ray = vMember - vEye;
          spot = vEye - ray * (dot(vPlane.xyz, vEye) + vPlane.w) / dot(vPlane.xyz, ray);
          facing = vPlane.xyz;
        }`;
// Evenly lit, and half a millimetre nearer than the face of the next board that touches it from outside.
const CUT_LIGHT = `
        gl_FragDepth = gl_FragCoord.z + fwidth(gl_FragCoord.z);
        if (!gl_FrontFacing) {
          gl_FragColor.rgb = diffuseColor.rgb * 1.02;
          gl_FragDepth = gl_FragCoord.z - 0.00003 * gl_FragCoord.w * gl_FragCoord.w;
        }`;
