// The stage that solids stand on: one canvas, drawn only when something moves.
import {
  AmbientLight,
  BackSide,
  BufferAttribute,
  BufferGeometry,
  Color,
  DirectionalLight,
  DoubleSide,
  EdgesGeometry,
  GridHelper,
  Group,
  LineBasicMaterial,
  LineSegments,
  Matrix4,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  PerspectiveCamera,
  Plane,
  Scene,
  Spherical,
  Vector3,
  WebGLRenderer,
} from "three";
import type { SolidView } from "../wire";

/** A hinge with the angle that its far side is turned by, in degrees. */
interface Turned {
  pin: readonly number[];
  moving: readonly number[];
  degrees: number;
}

const HOME = new Spherical(1, 0.9, -0.7);

export class Stage {
  readonly #renderer: WebGLRenderer;
  readonly #scene = new Scene();
  readonly #camera = new PerspectiveCamera(35, 1, 0.5, 5000);
  readonly #bodies = new Group();
  readonly #plane = new Plane(new Vector3(0, 0, -1), 0);
  readonly #eye = HOME.clone();
  readonly #middle = new Vector3();
  readonly #watch: ResizeObserver;
  #size = 50;
  #low = new Vector3();
  #high = new Vector3();
  #wanted = 0;

  /** A stage on a canvas; none where the browser draws no solids. */
  static on(canvas: HTMLCanvasElement): Stage | null {
    try {
      return new Stage(canvas);
    } catch {
      return null;
    }
  }

  private constructor(canvas: HTMLCanvasElement) {
    this.#renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.#renderer.localClippingEnabled = true;
    const sun = new DirectionalLight(0xffffff, 2.2);
    sun.position.set(0.6, -0.8, 1.4);
    const other = new DirectionalLight(0xffffff, 0.8);
    other.position.set(-1, 0.7, 0.4);
    this.#scene.add(new AmbientLight(0xffffff, 1.1), sun, other, this.#bodies);
    this.#camera.up.set(0, 0, 1);
    this.#watch = new ResizeObserver(() => this.#draw());
    this.#watch.observe(canvas);
    this.#hand(canvas);
  }

  show(solid: SolidView): void {
    this.#clear();
    this.#low.set(Infinity, Infinity, Infinity);
    this.#high.set(-Infinity, -Infinity, -Infinity);
    for (const body of solid.bodies) {
      const shape = new BufferGeometry();
      shape.setAttribute("position", new BufferAttribute(new Float32Array(body.points), 3));
      shape.setIndex(body.triangles);
      const flat = shape.toNonIndexed();
      flat.computeVertexNormals();
      flat.computeBoundingBox();
      if (flat.boundingBox) {
        this.#low.min(flat.boundingBox.min);
        this.#high.max(flat.boundingBox.max);
      }
      const colour = new Color(body.colour);
      const clippingPlanes = [this.#plane];
      const mesh = new Mesh(flat, new MeshLambertMaterial({ color: colour, clippingPlanes, side: DoubleSide }));
      // Where it is cut one looks at its inside: drawn flat and dark it reads as the cut face.
      const inside = new Mesh(flat, new MeshBasicMaterial({ color: colour.clone().multiplyScalar(0.35), clippingPlanes, side: BackSide }));
      const edges = new LineSegments(new EdgesGeometry(flat, 35), new LineBasicMaterial({ color: 0x11181c, clippingPlanes }));
      const all = new Group();
      all.add(mesh, inside, edges);
      all.matrixAutoUpdate = false;
      this.#bodies.add(all);
      shape.dispose();
    }
    this.#middle.addVectors(this.#low, this.#high).multiplyScalar(0.5);
    this.#size = Math.max(10, this.#high.distanceTo(this.#low));
    const grid = new GridHelper(Math.ceil(this.#size / 10) * 20, Math.ceil(this.#size / 10) * 2, 0x8a8f93, 0xb9bdc0);
    grid.rotation.x = Math.PI / 2;
    grid.position.set(this.#middle.x, this.#middle.y, this.#low.z - 0.02);
    grid.name = "bed";
    this.#scene.remove(...this.#scene.children.filter((c) => c.name === "bed"));
    this.#scene.add(grid);
    this.#draw();
  }

  /** Cuts everything beyond a share of the way through. */
  cut(along: "none" | "x" | "y" | "z", share: number): void {
    const way = { none: [0, 0, -1], x: [-1, 0, 0], y: [0, 1, 0], z: [0, 0, -1] }[along];
    this.#plane.normal.set(way[0] ?? 0, way[1] ?? 0, way[2] ?? 0);
    const from = (low: number, high: number) => low + (high - low) * share;
    if (along === "none") this.#plane.constant = 1e6;
    else if (along === "y") this.#plane.constant = -from(this.#low.y, this.#high.y);
    else this.#plane.constant = from(this.#low[along], this.#high[along]);
    this.#draw();
  }

  /** Moves the far side of each hinge, one hinge after the other. */
  turn(hinges: readonly Turned[]): void {
    const places = this.#bodies.children.map(() => new Matrix4());
    for (const { pin, moving, degrees } of hinges) {
      if (degrees === 0) continue;
      const [x, y] = [pin[0] ?? 0, pin[1] ?? 0];
      const about = new Matrix4()
        .makeTranslation(x, y, 0)
        .multiply(new Matrix4().makeRotationZ((degrees * Math.PI) / 180))
        .multiply(new Matrix4().makeTranslation(-x, -y, 0));
      // Turned about the pin where it stands at home, before anything else moves it.
      for (const body of moving) places[body]?.multiply(about);
    }
    this.#bodies.children.forEach((body, i) => {
      const place = places[i];
      if (!place) return;
      body.matrix.copy(place);
      body.matrixWorldNeedsUpdate = true;
    });
    this.#draw();
  }

  look(around: number, over: number, nearer: number): void {
    this.#eye.theta -= around;
    this.#eye.phi = Math.min(Math.PI - 0.05, Math.max(0.05, this.#eye.phi + over));
    this.#eye.radius = Math.min(4, Math.max(0.3, this.#eye.radius * nearer));
    this.#draw();
  }

  home(): void {
    this.#eye.copy(HOME);
    this.#draw();
  }

  end(): void {
    cancelAnimationFrame(this.#wanted);
    this.#watch.disconnect();
    this.#clear();
    this.#renderer.dispose();
  }

  #clear(): void {
    for (const body of [...this.#bodies.children]) {
      this.#bodies.remove(body);
      body.traverse((part) => {
        const drawn = part as Mesh;
        drawn.geometry?.dispose();
        for (const material of [drawn.material].flat()) material?.dispose();
      });
    }
  }

  #hand(canvas: HTMLCanvasElement): void {
    const held = new Map<number, PointerEvent>();
    canvas.addEventListener("pointerdown", (event) => {
      held.set(event.pointerId, event);
      canvas.setPointerCapture(event.pointerId);
    });
    canvas.addEventListener("pointermove", (event) => {
      const before = held.get(event.pointerId);
      if (!before) return;
      const others = [...held.values()].filter((e) => e.pointerId !== event.pointerId);
      const other = others[0];
      if (other) {
        const far = (e: PointerEvent) => Math.hypot(e.clientX - other.clientX, e.clientY - other.clientY);
        this.look(0, 0, far(before) / Math.max(1, far(event)));
      } else {
        this.look((event.clientX - before.clientX) / 160, (before.clientY - event.clientY) / 160, 1);
      }
      held.set(event.pointerId, event);
    });
    const let_go = (event: PointerEvent) => held.delete(event.pointerId);
    canvas.addEventListener("pointerup", let_go);
    canvas.addEventListener("pointercancel", let_go);
    canvas.addEventListener(
      "wheel",
      (event) => {
        event.preventDefault();
        this.look(0, 0, event.deltaY > 0 ? 1.08 : 0.92);
      },
      { passive: false },
    );
  }

  #draw(): void {
    cancelAnimationFrame(this.#wanted);
    this.#wanted = requestAnimationFrame(() => {
      const canvas = this.#renderer.domElement;
      const [w, h] = [canvas.clientWidth, canvas.clientHeight];
      if (w === 0 || h === 0) return;
      this.#renderer.setPixelRatio(Math.min(2, window.devicePixelRatio));
      this.#renderer.setSize(w, h, false);
      this.#camera.aspect = w / h;
      this.#camera.updateProjectionMatrix();
      const far = this.#eye.radius * this.#size * 1.9;
      const { phi, theta } = this.#eye;
      this.#camera.position.set(
        this.#middle.x + far * Math.sin(phi) * Math.sin(theta),
        this.#middle.y - far * Math.sin(phi) * Math.cos(theta),
        this.#middle.z + far * Math.cos(phi),
      );
      this.#camera.lookAt(this.#middle);
      this.#renderer.render(this.#scene, this.#camera);
    });
  }
}
