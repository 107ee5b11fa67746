// A page that is still being worked on looks again by itself until it is done. Without this its link does.
const EVERY = 2000;
const LONGEST = 150;
let looks = 0;

async function look() {
  looks += 1;
  try {
    const answer = await fetch(location.href);
    if (answer.redirected) return location.replace(answer.url);
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.getElementById("watched");
    if (fresh) document.getElementById("watched").replaceWith(document.adoptNode(fresh));
    if (fresh && "watch" in fresh.dataset && looks < LONGEST) setTimeout(look, EVERY);
  } catch {
    if (looks < LONGEST) setTimeout(look, 3 * EVERY);
  }
}

setTimeout(look, EVERY);
