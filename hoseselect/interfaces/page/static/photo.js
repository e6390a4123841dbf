// The photo: points tapped with a thumb, a mouse or the arrow keys. The photo goes to this machine
// alone, and only when it is measured.
"use strict";

(() => {
  const form = document.getElementById("photo-form");
  if (!form) return;
  const note = document.getElementById("photo-note");
  const panel = document.getElementById("measured");
  const lines = document.getElementById("told");
  const CORNERS = 4;
  const NEAR = 18; // px of the screen
  const LOUPE = 70;
  let asked = 0;

  // What was measured of other taps, or is not measured yet, never stands beside these.
  function outdated() {
    asked += 1;
    panel.hidden = true;
    lines.replaceChildren();
  }
  form.addEventListener("input", (event) => {
    if (event.target.type !== "radio") outdated();
  });

  function shot(own) {
    const canvas = own.querySelector("canvas");
    const draw = canvas.getContext("2d");
    const tapping = own.querySelector(".tapping");
    const text = own.querySelector(".points");
    const file = own.querySelector(".file");
    own.querySelector(".as-text").removeAttribute("open");
    let image = null;
    let scale = 1; // px of the canvas to one of the photo
    let points = []; // {kind, x, y} in px of the photo
    let proposed = [];
    let fitted = [];
    let cross = null;
    let dragged = null;
    let looked = null; // the photo that was chosen last

    file.addEventListener("change", async (event) => {
      outdated();
      const [chosen] = event.target.files;
      if (!chosen) return;
      try {
        image = await createImageBitmap(chosen);
      } catch {
        note.textContent = tapping.dataset.damaged;
        return;
      }
      note.textContent = "";
      // The taps belong to the photo that was looked at, unless the page came back with them.
      const same = !looked || (looked.name === chosen.name && looked.size === chosen.size);
      looked = chosen;
      if (!same) {
        points = [];
        putKind("corner");
        changed();
      }
      scale = Math.min(1, 1600 / Math.max(image.width, image.height));
      canvas.width = Math.round(image.width * scale);
      canvas.height = Math.round(image.height * scale);
      tapping.hidden = false;
      cross = [image.width / 2, image.height / 2];
      fitted = proposed = [];
      paint();
    });

    const kind = () => own.querySelector("input[type=radio]:checked").value;
    const putKind = (name) => (own.querySelector(`input[type=radio][value=${name}]`).checked = true);
    const count = (name) => points.filter((one) => one.kind === name).length;

    function put(x, y) {
      points.push({ kind: kind(), x, y });
      changed();
    }

    function changed() {
      outdated();
      text.value = points.map((one) => `${one.kind} ${one.x.toFixed(1)} ${one.y.toFixed(1)}`).join("\n");
      fitted = [];
      told();
      paint();
    }

    function told() {
      if (count("corner") >= CORNERS && kind() === "corner") putKind("hose");
      const words = count("corner") < CORNERS ? tapping.dataset.corners : tapping.dataset.hose;
      own.querySelector(".tap-next").textContent = `${words} (${count("corner")} / 4, ${count("hose")})`;
    }

    text.addEventListener("input", () => {
      const found = text.value.split("\n").map((line) => line.replaceAll(",", " ").trim().split(/\s+/));
      points = found
        .filter((one) => one.length === 3 && Number.isFinite(+one[1]) && Number.isFinite(+one[2]))
        .map(([name, x, y]) => ({ kind: name, x: +x, y: +y }));
      fitted = [];
      told();
      paint();
    });

    function place(event) {
      const box = canvas.getBoundingClientRect();
      const wide = canvas.width / box.width;
      return [((event.clientX - box.left) * wide) / scale, ((event.clientY - box.top) * wide) / scale];
    }

    canvas.addEventListener("pointerdown", (event) => {
      if (!image) return;
      canvas.setPointerCapture(event.pointerId);
      const [x, y] = place(event);
      const box = canvas.getBoundingClientRect();
      const reach = (NEAR * canvas.width) / box.width / scale;
      dragged = points.find((one) => Math.hypot(one.x - x, one.y - y) < reach) || {
        kind: kind(),
        x,
        y,
        fresh: true,
      };
      cross = [x, y];
      paint();
    });
    canvas.addEventListener("pointermove", (event) => {
      if (!dragged) return;
      [dragged.x, dragged.y] = cross = place(event);
      paint();
    });
    canvas.addEventListener("pointerup", () => {
      if (!dragged) return;
      const done = dragged;
      dragged = null;
      if (done.fresh) put(done.x, done.y);
      else changed();
    });
    canvas.addEventListener("pointercancel", () => (dragged = null));

    canvas.addEventListener("keydown", (event) => {
      const step = (event.shiftKey ? 1 : 12) / scale;
      const ways = {
        ArrowLeft: [-step, 0],
        ArrowRight: [step, 0],
        ArrowUp: [0, -step],
        ArrowDown: [0, step],
      };
      if (!image || !cross) return;
      if (ways[event.key]) {
        cross = [cross[0] + ways[event.key][0], cross[1] + ways[event.key][1]];
        paint();
      } else if (event.key === "Enter" || event.key === " ") {
        put(...cross);
      } else if (event.key === "Backspace") {
        points.pop();
        changed();
      } else {
        return;
      }
      event.preventDefault();
    });

    own.querySelector(".undo").addEventListener("click", () => {
      points.pop();
      changed();
    });
    own.querySelector(".again").addEventListener("click", () => {
      points = [];
      proposed = [];
      putKind("corner");
      changed();
    });

    const LOOKS = { corner: "#1565c0", hose: "#b3261e", edge: "#2e7d32" };

    function paint() {
      if (!image) return;
      draw.drawImage(image, 0, 0, canvas.width, canvas.height);
      const size = canvas.width / 160;
      line(fitted, "#e2a53a", size * 0.8);
      for (const [x, y] of proposed) ring(x, y, "#ffffff", size * 0.8, false);
      const shown = dragged && dragged.fresh ? [...points, dragged] : points;
      const corners = shown.filter((one) => one.kind === "corner").map((one) => [one.x, one.y]);
      if (corners.length === CORNERS) line([...corners, corners[0]], LOOKS.corner, size * 0.3);
      shown.forEach((one) => ring(one.x, one.y, LOOKS[one.kind] || "#000", size, one.kind === "hose"));
      if (cross) hair(...cross);
      if (dragged) loupe(dragged.x, dragged.y);
    }

    function line(list, colour, width) {
      draw.beginPath();
      list.forEach(([x, y], k) =>
        k ? draw.lineTo(x * scale, y * scale) : draw.moveTo(x * scale, y * scale),
      );
      draw.strokeStyle = colour;
      draw.lineWidth = width;
      draw.stroke();
    }

    function ring(x, y, colour, size, round) {
      draw.beginPath();
      if (round) draw.arc(x * scale, y * scale, size, 0, 7);
      else draw.rect(x * scale - size, y * scale - size, 2 * size, 2 * size);
      draw.strokeStyle = "#fff";
      draw.lineWidth = size * 0.7;
      draw.stroke();
      draw.strokeStyle = colour;
      draw.lineWidth = size * 0.4;
      draw.stroke();
    }

    function hair(x, y) {
      const reach = canvas.width / 40;
      line(
        [
          [x - reach / scale, y],
          [x + reach / scale, y],
        ],
        "#000",
        1,
      );
      line(
        [
          [x, y - reach / scale],
          [x, y + reach / scale],
        ],
        "#000",
        1,
      );
    }

    // A thumb hides what it taps: what lies under it stands enlarged in a corner.
    function loupe(x, y) {
      const size = (LOUPE * canvas.width) / canvas.getBoundingClientRect().width;
      const left = x * scale < canvas.width / 2 ? canvas.width - 2 * size : 0;
      const part = size / 2 / scale;
      draw.drawImage(image, x - part, y - part, 2 * part, 2 * part, left, 0, 2 * size, 2 * size);
      draw.strokeStyle = "#fff";
      draw.lineWidth = 3;
      draw.strokeRect(left, 0, 2 * size, 2 * size);
      draw.beginPath();
      draw.moveTo(left + size, size * 0.7);
      draw.lineTo(left + size, size * 1.3);
      draw.moveTo(left + size * 0.7, size);
      draw.lineTo(left + size * 1.3, size);
      draw.strokeStyle = "#b3261e";
      draw.lineWidth = 2;
      draw.stroke();
    }

    const take = own.querySelector(".take");
    own.querySelector(".propose").addEventListener("click", async () => {
      const alone = new FormData(form);
      alone.set("photo", file.files[0]);
      alone.set("points", text.value);
      alone.delete("side");
      const found = await sent("/photo/suggest", alone);
      proposed = found ? found.hose : [];
      take.hidden = !proposed.length;
      if (proposed.length) own.querySelector(".tap-next").textContent = tapping.dataset.proposed;
      paint();
    });
    take.addEventListener("click", () => {
      points = [
        ...points.filter((one) => one.kind !== "hose"),
        ...proposed.map(([x, y]) => ({ kind: "hose", x, y })),
      ];
      proposed = [];
      take.hidden = true;
      changed();
    });

    return (line) => {
      fitted = line;
      paint();
    };
  }

  const shots = [...document.querySelectorAll(".shot")].map(shot);

  async function sent(path, body) {
    const headers = { Accept: "application/json" };
    const answer = await fetch(path, { method: "POST", body, headers }).catch(() => null);
    const told = answer && (await answer.json().catch(() => null));
    const measured = told && answer.ok;
    note.textContent = measured ? "" : (told && told.error) || form.dataset.failed;
    return measured ? told : null;
  }

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    outdated();
    const own = asked;
    const found = await sent("/photo/measure", new FormData(form));
    if (own !== asked) return;
    panel.hidden = !found;
    if (!found) {
      note.scrollIntoView({ block: "center" });
      return;
    }
    lines.replaceChildren(
      ...found.told.map((line) => {
        const item = document.createElement("li");
        item.textContent = line;
        return item;
      }),
    );
    document.getElementById("run").textContent = found.run;
    document.getElementById("to-bench").href = found.bench;
    shots.forEach((show, k) => show(found.lines[k]));
    panel.scrollIntoView({ block: "nearest" });
  });
})();
