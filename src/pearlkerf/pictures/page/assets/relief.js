// The carved board in the free view, in WebGL2.
//
// Only the six sides of the box around the wood are drawn.  Behind each of their pixels the line of
// sight is followed through the map of heights until it meets wood: nearly all meet it at once, so
// the cost goes with the pixels covered, not with the cells of the map.  That keeps it bearable
// where a processor does the work of a graphics card.

import { FRESH } from "./grain.js";
import { AIR, STEP_MM, takeChanged } from "./heights.js";

const RELIEF_VERTEX = `#version 300 es
uniform vec3 right, up, away, target;
uniform vec4 lens; // focal length and distance in pixels and mm, picture's width and height
in vec3 corner;
out vec3 place;
void main() {
  vec3 p = corner - target;
  float far = lens.y + dot(p, away);
  place = corner;
  gl_Position = vec4(2.0 * lens.x * dot(p, right) / lens.z, 2.0 * lens.x * dot(p, up) / lens.w, 0.0, far);
}`;

const RELIEF_FRAGMENT = `#version 300 es
precision highp float;
precision highp int;
precision highp isampler2D;
uniform isampler2D heights;
uniform sampler2D colours;
uniform vec3 eye, side;
uniform vec4 backing; // its colour, and how low it begins
uniform vec4 lies; // corner of the map, its cell, its bottom
in vec3 place;
out vec4 colour;
const int MOST = 220;

float heightAt(vec2 at) {
  ivec2 cell = ivec2(floor((at - lies.xy) / lies.z));
  ivec2 size = textureSize(heights, 0);
  if (any(lessThan(cell, ivec2(0))) || any(greaterThanEqual(cell, size))) return -1e4;
  int found = texelFetch(heights, cell, 0).r;
  return found == ${AIR} ? -1e4 : float(found) * ${STEP_MM};
}

void main() {
  vec3 ray = normalize(place - eye);
  float level = length(ray.xy);
  float pace = min(lies.z * 0.8 / max(level, 1e-4), 0.25 / max(abs(ray.z), 1e-4));
  vec3 at = place + ray * lies.z * 0.02;
  float found = -1e4;
  int walked = 0;
  for (; walked < MOST; walked++) {
    found = heightAt(at.xy);
    if (at.z <= found + 0.003) break;
    at += ray * pace;
    if (at.z < lies.w) discard;
  }
  if (walked == MOST) discard;
  if (walked > 0) { // half the last step again and again: a slope is met on its surface, a wall stays a wall
    vec3 before = at - ray * pace;
    for (int again = 0; again < 6; again++) {
      vec3 middle = 0.5 * (before + at);
      float there = heightAt(middle.xy);
      if (middle.z <= there + 0.003) { at = middle; found = there; } else before = middle;
    }
  }
  vec2 size = vec2(textureSize(heights, 0));
  vec2 where = (at.xy - lies.xy) / (lies.z * size);
  where.y = 1.0 - where.y;
  vec3 face = texture(colours, where).rgb;
  float under = found - at.z;
  if (under < 0.06) { colour = vec4(face, 1.0); return; }
  // a wall: which way it looks is told by the side that the line of sight came in by
  vec2 back = ray.xy / max(level, 1e-4) * lies.z * 1.5;
  float beside = heightAt(at.xy - vec2(back.x, 0.0));
  bool across = beside < at.z && abs(ray.x) > 0.02;
  if (!across) beside = heightAt(at.xy - vec2(0.0, back.y));
  bool inside = beside > -1e3; // a wall of a cut, where little light comes in; else a side of the board
  float lit = across ? (ray.x > 0.0 ? 0.86 : 0.6) : (ray.y > 0.0 ? 0.7 : 0.94);
  float dim = inside ? 0.72 - 0.42 * smoothstep(0.0, 1.6, under) : 1.0 - 0.05 * min(under, 4.0);
  float streak = 0.94 + 0.06 * sin(at.z * 9.0 + sin(at.x * 0.11 + at.y * 0.3) * 2.0);
  colour = vec4((at.z < backing.a ? backing.rgb : side) * lit * streak * dim, 1.0);
}`;

const BOX_FACES = [
  [4, 5, 7, 4, 7, 6],
  [0, 4, 6, 0, 6, 2],
  [1, 3, 7, 1, 7, 5],
  [0, 1, 5, 0, 5, 4],
  [2, 6, 7, 2, 7, 3],
];

export class Relief {
  // null where the browser has no WebGL2, or will not compile.
  static on(canvas) {
    const gl = canvas.getContext("webgl2", { alpha: true, antialias: false, depth: false, preserveDrawingBuffer: true });
    if (!gl) return null;
    const program = gl.createProgram();
    for (const [kind, source] of [[gl.VERTEX_SHADER, RELIEF_VERTEX], [gl.FRAGMENT_SHADER, RELIEF_FRAGMENT]]) {
      const shader = gl.createShader(kind);
      gl.shaderSource(shader, source);
      gl.compileShader(shader);
      gl.attachShader(program, shader);
    }
    gl.linkProgram(program);
    return gl.getProgramParameter(program, gl.LINK_STATUS) ? new Relief(canvas, gl, program) : null;
  }

  constructor(canvas, gl, program) {
    Object.assign(this, { canvas, gl, program });
    this.at = (name) => gl.getUniformLocation(program, name);
    this.lost = false;
    this.scenes = new Map();
    this.coarse = 1; // pixels of the page for each drawn one; grows where a frame takes long
    this.took = 0;
    canvas.addEventListener("webglcontextlost", () => {
      this.lost = true;
    });
    gl.useProgram(program);
    gl.enable(gl.CULL_FACE);
    gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);
  }

  // Turns to another wood; each keeps its textures for as long as the page is open.
  take(wood, bitmap) {
    [this.wood, this.bitmap] = [wood, bitmap];
    if (!this.scenes.has(wood)) this.scenes.set(wood, this.newScene());
    this.scene = this.scenes.get(wood);
    const { gl } = this;
    this.scene.textures.forEach((texture, unit) => {
      gl.activeTexture(gl.TEXTURE0 + unit);
      gl.bindTexture(gl.TEXTURE_2D, texture);
    });
    this.buildBox();
  }

  newScene() {
    const { gl } = this;
    const textures = ["heights", "colours"].map((name, unit) => {
      const texture = gl.createTexture();
      gl.activeTexture(gl.TEXTURE0 + unit);
      gl.bindTexture(gl.TEXTURE_2D, texture);
      gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE);
      gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE);
      gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, unit ? gl.LINEAR : gl.NEAREST);
      gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, unit ? gl.LINEAR : gl.NEAREST);
      gl.uniform1i(this.at(name), unit);
      return texture;
    });
    return { textures, heights: this.wood.watchers.watch(), colours: this.bitmap.watchers.watch(), filled: false };
  }

  buildBox() {
    const { gl, wood } = this;
    const [x1, y1] = [wood.x0 + wood.nx * wood.cell, wood.y0 + wood.ny * wood.cell];
    const corner = (n) => [n & 1 ? x1 : wood.x0, n & 2 ? y1 : wood.y0, n & 4 ? 0 : wood.bottom];
    const corners = new Float32Array(BOX_FACES.flat().flatMap(corner));
    gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
    gl.bufferData(gl.ARRAY_BUFFER, corners, gl.STATIC_DRAW);
    const place = gl.getAttribLocation(this.program, "corner");
    gl.enableVertexAttribArray(place);
    gl.vertexAttribPointer(place, 3, gl.FLOAT, false, 0, 0);
    this.corners = corners.length / 3;
  }

  upload() {
    const { gl, wood, bitmap, scene } = this;
    const rows = takeChanged(scene.heights);
    if (rows) {
      gl.activeTexture(gl.TEXTURE0);
      if (scene.filled) {
        const part = wood.heights.subarray(rows.y0 * wood.nx, (rows.y1 + 1) * wood.nx);
        gl.texSubImage2D(gl.TEXTURE_2D, 0, 0, rows.y0, wood.nx, rows.y1 - rows.y0 + 1, gl.RED_INTEGER, gl.SHORT, part);
      } else {
        gl.texImage2D(gl.TEXTURE_2D, 0, gl.R16I, wood.nx, wood.ny, 0, gl.RED_INTEGER, gl.SHORT, wood.heights);
      }
    }
    if (takeChanged(scene.colours)) {
      gl.activeTexture(gl.TEXTURE1);
      gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, gl.RGBA, gl.UNSIGNED_BYTE, bitmap.canvas);
    }
    scene.filled = true;
  }

  // ``fine`` is drawn pixels for each pixel of the page.
  draw(camera, fine) {
    const { gl, wood } = this;
    const begun = performance.now();
    this.canvas.width = Math.max(1, Math.round(camera.width * fine));
    this.canvas.height = Math.max(1, Math.round(camera.height * fine));
    gl.viewport(0, 0, this.canvas.width, this.canvas.height);
    this.upload();
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT);
    gl.uniform3fv(this.at("right"), camera.right);
    gl.uniform3fv(this.at("up"), camera.up);
    gl.uniform3fv(this.at("away"), camera.away);
    gl.uniform3fv(this.at("target"), camera.target);
    gl.uniform4f(this.at("lens"), camera.focal, camera.distance, camera.width, camera.height);
    gl.uniform3fv(this.at("eye"), camera.target.map((value, axis) => value - camera.distance * camera.away[axis]));
    gl.uniform3fv(this.at("side"), this.bitmap.colour.map((value, n) => (value * 0.8 + FRESH[n] * 0.2) / 255));
    const under = this.bitmap.made && wood.setup.blanks?.length ? -wood.setup.under : -1e6;
    gl.uniform4f(this.at("backing"), ...(this.bitmap.made?.backing || [0, 0, 0]).map((value) => value / 255), under);
    gl.uniform4f(this.at("lies"), wood.x0, wood.y0, wood.cell, wood.bottom);
    gl.drawArrays(gl.TRIANGLES, 0, this.corners);
    gl.finish(); // waits, so that the time is true
    this.took = performance.now() - begun;
  }
}
