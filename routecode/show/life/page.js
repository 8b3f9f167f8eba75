"use strict";
(function () {
  var all = function (selector) { return Array.prototype.slice.call(document.querySelectorAll(selector)); };
  var one = function (selector) { return document.querySelector(selector); };
  var steps = all(".life > input"), picture = one(".picture"), stage = one(".stage");
  var earlier = one(".earlier"), later = one(".later");

  all(".when-live").forEach(function (element) { element.hidden = false; });

  function chosen() { return steps.findIndex(function (step) { return step.checked; }); }

  function shown(element, frame) {
    var a = element.getBoundingClientRect(), b = frame.getBoundingClientRect();
    return a.bottom > b.top && a.top < b.bottom && a.right > b.left && a.left < b.right;
  }

  function centre(element, frame) {
    var a = element.getBoundingClientRect(), b = frame.getBoundingClientRect();
    frame.scrollTop += (a.top + a.bottom - b.top - b.bottom) / 2;
    frame.scrollLeft += (a.left + a.right - b.left - b.right) / 2;
  }

  function settle() {
    var at = chosen();
    if (at < 0) { return; }
    earlier.disabled = at === steps.length - 1;
    later.disabled = at === 0;
    var label = one("label[for=" + steps[at].id + "]"), list = one(".list");
    var a = label.getBoundingClientRect(), b = list.getBoundingClientRect();
    if (a.top < b.top || a.bottom > b.bottom) { list.scrollTop += a.top - b.top - 40; }
    if (stage) {
      var words = all(".picture [data-g^='n'], .picture [data-g^='g'], .picture [data-g^='c']").filter(function (word) {
        return getComputedStyle(word).visibility === "visible";
      });
      if (words.length && !words.some(function (word) { return shown(word, stage); })) { centre(words[0], stage); }
    }
  }

  function go(by) {
    var at = chosen() + by;
    if (at < 0 || at >= steps.length) { return; }
    steps[at].checked = true;
    history.replaceState(null, "", "#" + steps[at].id);
    settle();
  }

  earlier.addEventListener("click", function () { go(1); });
  later.addEventListener("click", function () { go(-1); });
  steps.forEach(function (step) {
    step.addEventListener("change", function () {
      history.replaceState(null, "", "#" + step.id);
      settle();
    });
  });

  function size(factor) {
    var wide = picture.getBoundingClientRect().width * factor, box = picture.viewBox.baseVal;
    picture.style.width = wide + "px";
    picture.style.height = wide * box.height / box.width + "px";
  }

  if (picture) {
    one(".less").addEventListener("click", function () { size(1 / 1.25); });
    one(".more").addEventListener("click", function () { size(1.25); });
    one(".fit").addEventListener("click", function () { size((stage.clientWidth - 2) / picture.getBoundingClientRect().width); });
  }

  var asked = steps.filter(function (step) { return "#" + step.id === location.hash; })[0];
  if (asked) { asked.checked = true; }
  settle();
})();
