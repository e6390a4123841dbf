// The bench: the shape follows the slider, and can be turned.
"use strict";

(() => {
  const canvas = document.getElementById("space");
  if (!canvas) return;
  const draw = canvas.getContext("2d");
  let shape = null;
  let turn = -0.6;
  let tilt = 0.45;
  let asked = 0;

  const slider = document.getElementById("slider-form");
  const put = (name, text) => {
    const place = document.getElementById(name);
    if (place) place.textContent = text;
  };

  async function load(length) {
    const own = ++asked;
    const query = length === undefined ? "" : `&length=${encodeURIComponent(`${length} mm`)}`;
    const answer = await fetch(canvas.dataset.shape + query).catch(() => null);
    if (own !== asked) return;
    if (!answer || !answer.ok) {
      for (const name of ["length-words", "tightest", "room", "works"]) put(name, "?");
      shape = null;
      draw.fillStyle = "#fff";
      draw.fillRect(0, 0, canvas.width, canvas.height);
      return;
    }
    shape = await answer.json();
    if (shape.cut && slider) {
      put("length-words", shape.cut);
      put("tightest", shape.tightest);
      put("room", shape.room);
      put("works", shape.works ? slider.dataset.works : slider.dataset.fails);
    }
    paint();
  }

  if (slider) {
    let timer = 0;
    slider.elements.namedItem("length").addEventListener("input", (event) => {
      clearTimeout(timer);
      timer = setTimeout(() => load(event.target.value), 60);
    });
  }

  // x forward, y left, z up, seen from a place that turns round the upright axis.
  function seen(point) {
    const [x, y, z] = point;
    const a = x * Math.cos(turn) - y * Math.sin(turn);
    const b = x * Math.sin(turn) + y * Math.cos(turn);
    return [-b, -(z * Math.cos(tilt) + a * Math.sin(tilt))];
  }

  function everything() {
    const ends = shape.nipples.flatMap((one) => [one.mouth, one.root]);
    return [...shape.line, ...shape.extremes.flat(), ...ends, ...shape.obstacles.flatMap((one) => one.points)];
  }

  function paint() {
    if (!shape) return;
    const points = everything().map(seen);
    const xs = points.map((p) => p[0]);
    const ys = points.map((p) => p[1]);
    const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    const margin = 40 + (shape.diameter || 0);
    const scale = Math.min(canvas.width / (right - left + 2 * margin), canvas.height / (bottom - top + 2 * margin));
    const at = (point) => {
      const [x, y] = seen(point);
      return [canvas.width / 2 + (x - (left + right) / 2) * scale, canvas.height / 2 + (y - (top + bottom) / 2) * scale];
    };
    const line = (list, width, colour) => {
      draw.beginPath();
      list.forEach((point, k) => (k ? draw.lineTo(...at(point)) : draw.moveTo(...at(point))));
      draw.lineWidth = width;
      draw.strokeStyle = colour;
      draw.lineCap = "butt";
      draw.lineJoin = "round";
      draw.stroke();
    };
    draw.fillStyle = "#fff";
    draw.fillRect(0, 0, canvas.width, canvas.height);
    draw.font = "22px Arial, sans-serif";
    for (const one of shape.obstacles) obstacle(one, at, scale, line);
    for (const one of shape.nipples) line([one.root, one.mouth], (one.diameter || 10) * scale, "#8b9296");
    line(shape.line, (shape.diameter || 8) * scale, "#2a3d45");
    line(shape.line, Math.max(1.5, 0.12 * (shape.diameter || 8) * scale), "#e2a53a");
    draw.setLineDash([8, 6]);
    for (const one of shape.extremes) line(one, 1.5, "#9fc3cd");
    draw.setLineDash([]);
    if (shape.tightest_at.every((value) => value !== null)) {
      const [x, y] = at(shape.tightest_at);
      draw.beginPath();
      draw.arc(x, y, 9, 0, 7);
      draw.lineWidth = 3;
      draw.strokeStyle = "#b3261e";
      draw.stroke();
    }
    draw.fillStyle = "#000";
    for (const one of shape.nipples) {
      const [x, y] = at(one.root);
      draw.fillText(one.name, x + 8, y - 8);
    }
  }

  function obstacle(one, at, scale, line) {
    const colour = one.hot ? "#d9a7a0" : "#c9ced1";
    if (one.kind === "ball") {
      const [x, y] = at(one.points[0]);
      draw.beginPath();
      draw.arc(x, y, one.radius * scale, 0, 7);
      draw.fillStyle = colour;
      draw.fill();
    } else if (one.kind === "rod") {
      line(one.points, 2 * one.radius * scale, colour);
    } else {
      for (let a = 0; a < 8; a++) {
        for (const bit of [1, 2, 4]) if (!(a & bit)) line([one.points[a], one.points[a | bit]], 2, "#555");
      }
    }
    const [x, y] = at(one.points[0]);
    draw.fillStyle = "#333";
    draw.fillText(one.name, x + 8, y + 8);
  }

  // Dragged, or turned with the arrow keys.
  let from = null;
  canvas.addEventListener("pointerdown", (event) => {
    from = [event.clientX, event.clientY];
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!from) return;
    turned((event.clientX - from[0]) / 150, (event.clientY - from[1]) / 150);
    from = [event.clientX, event.clientY];
  });
  canvas.addEventListener("pointerup", () => (from = null));
  canvas.addEventListener("keydown", (event) => {
    const steps = { ArrowLeft: [-0.12, 0], ArrowRight: [0.12, 0], ArrowUp: [0, -0.12], ArrowDown: [0, 0.12] };
    const step = steps[event.key];
    if (!step) return;
    event.preventDefault();
    turned(...step);
  });

  function turned(sideways, upwards) {
    turn += sideways;
    tilt = Math.max(-1.57, Math.min(1.57, tilt + upwards));
    paint();
  }

  load(slider ? slider.elements.namedItem("length").value : undefined);
})();
