// The still picture: many renderings, each lit from another part of the sun and of the
// sky, averaged. Soft shadows and soft corners come out of it without any approximation.
import {
  AddEquation, CustomBlending, HalfFloatType, Mesh, NoBlending, OneFactor, OrthographicCamera,
  PlaneGeometry, ShaderMaterial, WebGLRenderTarget,
} from "three";

const QUAD = `
  varying vec2 vAt;
  void main() { vAt = uv; gl_Position = vec4(position.xy, 0.0, 1.0); }`;
const PICTURE = "varying vec2 vAt; uniform sampler2D uPicture; uniform float uShare;";
const ADD = `${PICTURE}
  void main() { gl_FragColor = texture2D(uPicture, vAt) * uShare; }`;
const SHOW = `${PICTURE}
  void main() {
    gl_FragColor = vec4(texture2D(uPicture, vAt).rgb * uShare, 1.0);
    #include <colorspace_fragment>
  }`;
const SUN_SPREAD = 0.1;
// Small enough that the sum of all samples stays within half floats.
const EACH = 1 / 64;

function quad(fragment, options) {
  const material = new ShaderMaterial({
    vertexShader: QUAD, fragmentShader: fragment, depthTest: false, depthWrite: false,
    uniforms: { uPicture: { value: null }, uShare: { value: 1 } }, ...options,
  });
  const mesh = new Mesh(new PlaneGeometry(2, 2), material);
  mesh.frustumCulled = false;
  return mesh;
}

// Points that fill the unit square evenly however many are taken.
const spread = (k) => [(0.5 + 0.7548776662 * k) % 1, (0.5 + 0.5698402910 * k) % 1];

export class Refiner {
  constructor(renderer) {
    this.renderer = renderer;
    this.flat = new OrthographicCamera(-1, 1, 1, -1, 0, 1);
    this.adder = quad(ADD, {
      blending: CustomBlending, blendEquation: AddEquation, blendSrc: OneFactor, blendDst: OneFactor,
      transparent: true,
    });
    this.shower = quad(SHOW, { blending: NoBlending });
    this.one = new WebGLRenderTarget(1, 1, { type: HalfFloatType, samples: 4, stencilBuffer: true });
    this.sum = new WebGLRenderTarget(1, 1, { type: HalfFloatType, depthBuffer: false });
    this.taken = 0;
  }

  get able() {
    const { extensions } = this.renderer;
    return extensions.has("EXT_color_buffer_float") || extensions.has("EXT_color_buffer_half_float");
  }

  start(width, height) {
    this.one.setSize(width, height);
    this.sum.setSize(width, height);
    this.renderer.setRenderTarget(this.sum);
    this.renderer.setClearColor(0x000000, 0);
    this.renderer.clear();
    this.renderer.setRenderTarget(null);
    this.taken = 0;
  }

  /** One more rendering into the average. */
  step(scene, camera, lights) {
    const { renderer } = this;
    const [a, b] = spread(this.taken);
    lights.sample(a, b, SUN_SPREAD);
    const { width, height } = this.one;
    camera.setViewOffset(width, height, b - 0.5, a - 0.5, width, height);
    renderer.shadowMap.needsUpdate = true;
    renderer.setRenderTarget(this.one);
    renderer.render(scene, camera);
    camera.clearViewOffset();
    this.adder.material.uniforms.uPicture.value = this.one.texture;
    this.adder.material.uniforms.uShare.value = EACH;
    renderer.autoClear = false;
    renderer.setRenderTarget(this.sum);
    renderer.render(this.adder, this.flat);
    renderer.setRenderTarget(null);
    renderer.autoClear = true;
    this.taken += 1;
  }

  show() {
    this.shower.material.uniforms.uPicture.value = this.sum.texture;
    this.shower.material.uniforms.uShare.value = 1 / (EACH * this.taken);
    this.renderer.render(this.shower, this.flat);
  }

  dispose() {
    this.one.dispose();
    this.sum.dispose();
    for (const mesh of [this.adder, this.shower]) {
      mesh.geometry.dispose();
      mesh.material.dispose();
    }
  }
}
