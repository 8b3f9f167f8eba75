"use strict";
(function () {
  var said = {}, seen = {}, kept = null, heard = document.querySelector(".heard");
  var all = function (selector, root) { return Array.prototype.slice.call((root || document).querySelectorAll(selector)); };
  var put = function (table, number, element) { (table[number] = table[number] || []).push(element); };
  var numbers = function (element) { return (element.dataset.s || element.dataset.p || "").split(" ").filter(Boolean); };
  var name = function (element) {
    var title = element.querySelector("title");
    return (title || element).textContent;
  };

  document.documentElement.classList.add("live");
  all(".when-live").forEach(function (element) { element.hidden = false; });
  all(".said").forEach(function (element) { element.tabIndex = 0; put(said, element.dataset.s, element); });
  all(".picture").forEach(function (picture) {
    var things = all("[data-p]", picture);
    if (!things.length) { return; }
    picture.setAttribute("role", "graphics-document");
    all("[data-g]:not([data-p])", picture).forEach(function (word) {
      all("[data-g='" + word.dataset.g + "'][data-p]", picture).forEach(function (owner) {
        (owner.followers = owner.followers || []).push(word);
      });
    });
    things.forEach(function (thing, place) {
      numbers(thing).forEach(function (number) { put(seen, number, thing); });
      thing.setAttribute("role", "graphics-symbol");
      thing.setAttribute("aria-label", name(thing));
      thing.setAttribute("tabindex", place ? "-1" : "0");
      all("path:not(.hit)", thing).forEach(function (path) {
        var wide = path.cloneNode(false);
        wide.setAttribute("class", "hit");
        wide.removeAttribute("stroke-dasharray");
        thing.insertBefore(wide, path);
      });
    });
  });

  function dark() {
    all(".lit").forEach(function (element) { element.classList.remove("lit"); });
    heard.hidden = true;
    heard.textContent = "";
  }

  function light(element) {
    dark();
    if (!element) { return; }
    var own = numbers(element), picture = element.dataset.s === undefined;
    own.forEach(function (number) {
      (said[number] || []).forEach(function (one) { one.classList.add("lit"); });
      if (!picture || own.length === 1) { (seen[number] || []).forEach(kindle); }
    });
    kindle(element);
    if (picture) { tell(element, own); } else { all(".stage").forEach(show); }
    if (picture) { reveal(own); }
  }

  function kindle(element) {
    element.classList.add("lit");
    (element.followers || []).forEach(function (word) { word.classList.add("lit"); });
  }

  function tell(element, own) {
    var list = document.createElement("ul"), head = document.createElement("b"), known = [];
    head.textContent = name(element);
    own.forEach(function (number) {
      var text = (said[number] || [])[0];
      if (!text || known.indexOf(text.textContent) >= 0) { return; }
      known.push(text.textContent);
      if (known.length > 6) { return; }
      list.appendChild(document.createElement("li")).textContent = text.textContent;
    });
    if (known.length > 6) { list.appendChild(document.createElement("li")).textContent = (known.length - 6) + " more."; }
    heard.textContent = "";
    heard.appendChild(head);
    heard.appendChild(list);
    heard.hidden = false;
  }

  function inside(box, frame) {
    return box.right > frame.left && box.left < frame.right && box.bottom > frame.top && box.top < frame.bottom;
  }

  function centre(frame, element) {
    var a = frame.getBoundingClientRect(), b = element.getBoundingClientRect();
    frame.scrollLeft += (b.left + b.right - a.left - a.right) / 2;
    frame.scrollTop += (b.top + b.bottom - a.top - a.bottom) / 2;
  }

  function current(stage) {
    return all(".view", stage).filter(function (view) { return getComputedStyle(view).visibility !== "hidden"; })[0];
  }

  function show(stage) {
    var frame = stage.getBoundingClientRect();
    var lit = all(".lit", current(stage)).filter(function (one) { return one.querySelector("polygon, rect, circle"); });
    var seen = lit.some(function (one) {
      var box = one.getBoundingClientRect();
      return box.left >= frame.left && box.right <= frame.right && box.top >= frame.top && box.bottom <= frame.bottom;
    });
    if (lit.length && !seen) { centre(stage, lit[0]); }
  }

  function reveal(own) {
    var pane = document.getElementById("summary"), first = (said[own[0]] || []).filter(function (one) { return pane.contains(one); })[0];
    if (first && pane.scrollHeight > pane.clientHeight && !inside(first.getBoundingClientRect(), pane.getBoundingClientRect())) { centre(pane, first); }
  }

  var target = function (event) { return event.target.closest ? event.target.closest("[data-s], [data-p]") : null; };
  document.addEventListener("mouseover", function (event) { light(target(event) || kept); });
  document.addEventListener("focusin", function (event) { light(target(event) || kept); });
  document.addEventListener("click", function (event) {
    var found = target(event);
    if (!found || moved) { return; }
    kept = kept === found ? null : found;
    light(kept);
  });
  document.addEventListener("keydown", function (event) {
    var found = target(event);
    if (event.key === "Escape") { kept = null; dark(); return; }
    if (!found) { return; }
    if (event.key === "Enter" || event.key === " ") {
      kept = kept === found ? null : found;
      light(found);
      event.preventDefault();
    }
    var step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (step && found.dataset.p !== undefined) { walk(found, step); event.preventDefault(); }
  });

  function walk(from, step) {
    var things = all("[data-p]", from.closest(".picture")), next = things[things.indexOf(from) + step];
    if (!next) { return; }
    from.setAttribute("tabindex", "-1");
    next.setAttribute("tabindex", "0");
    next.focus({ preventScroll: true });
    centre(from.closest(".stage"), next);
  }

  var moved = false;
  all(".stage").forEach(function (stage) {
    var start = null;
    stage.addEventListener("pointerdown", function (event) {
      moved = false;
      if (event.pointerType === "mouse" && event.button === 0) { start = [event.clientX, event.clientY, stage.scrollLeft, stage.scrollTop]; }
    });
    window.addEventListener("pointermove", function (event) {
      if (!start) { return; }
      if (Math.abs(event.clientX - start[0]) + Math.abs(event.clientY - start[1]) > 4) { moved = true; stage.classList.add("held"); }
      if (moved) { stage.scrollLeft = start[2] - event.clientX + start[0]; stage.scrollTop = start[3] - event.clientY + start[1]; }
    });
    window.addEventListener("pointerup", function () { start = null; stage.classList.remove("held"); });
  });

  function natural(picture) { return Number(picture.getAttribute("width")); }

  function zoom(stage, factor) {
    var old = Number(stage.dataset.zoom || 1), middle = [stage.scrollLeft + stage.clientWidth / 2, stage.scrollTop + stage.clientHeight / 2];
    factor = Math.min(3, Math.max(0.1, factor));
    stage.dataset.zoom = factor;
    all(".picture", stage).forEach(function (picture) {
      picture.style.width = natural(picture) * factor + "px";
      picture.style.height = "auto";
    });
    stage.scrollLeft = middle[0] * factor / old - stage.clientWidth / 2;
    stage.scrollTop = middle[1] * factor / old - stage.clientHeight / 2;
  }

  function fitting(stage) { return (stage.clientWidth - 20) / natural(stage.querySelector(".picture")); }

  function changed(stage) { return all("[data-changed]", current(stage)); }

  all(".tools").forEach(function (tools) {
    var stages = all(".stage", tools.parentNode), at = -1;
    var scale = function (stage, wanted) {
      var zoomed = Number(stage.dataset.zoom || 1);
      zoom(stage, { larger: zoomed * 1.3, smaller: zoomed / 1.3, whole: Math.min(1, fitting(stage)), full: 1 }[wanted]);
      stage.dataset.chosen = wanted === "whole" ? "" : "1";
    };
    tools.addEventListener("click", function (event) {
      var wanted = event.target.dataset.do, things = [];
      if (!wanted) { return; }
      if (wanted !== "next") { stages.forEach(function (stage) { scale(stage, wanted); }); return; }
      stages.forEach(function (stage) { things = things.concat(changed(stage)); });
      if (!things.length) { return; }
      at = (at + 1) % things.length;
      follow(things[at]);
    });
  });

  function follow(thing) {
    var stage = thing.closest(".stage");
    if (Number(stage.dataset.zoom) < 0.7) { zoom(stage, 0.9); stage.dataset.chosen = "1"; }
    if (stage.closest("figure")) { stage.scrollIntoView({ block: "nearest" }); }
    centre(stage, thing);
    kept = thing;
    light(kept);
  }

  function fit(stage) { zoom(stage, Math.min(1, Math.max(fitting(stage), stage.closest(".views") ? 0.75 : 0.6))); }

  all(".stage").forEach(function (stage) {
    fit(stage);
    var first = changed(stage)[0];
    if (first && stage.closest(".views")) { centre(stage, first); } else { stage.scrollLeft = 0; }
  });
  window.addEventListener("resize", function () {
    all(".bay .stage").forEach(function (stage) { if (!stage.dataset.chosen) { fit(stage); } });
  });
})();
