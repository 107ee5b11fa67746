// What was typed before the page's script had come, or is put back by the browser on the way back, is met at once:
// nobody hears those keys, so the fields are compared with what the page was sent with.

function altered(field) {
  if (field.type === "hidden" || field.type === "file" || field.disabled) return false;
  if (field.type === "checkbox" || field.type === "radio") return field.checked !== field.defaultChecked;
  if (field.tagName === "SELECT") {
    const options = [...field.options];
    const sent = options.some((option) => option.defaultSelected);
    return options.some((option, at) => option.selected !== (sent || field.multiple ? option.defaultSelected : at === 0));
  }
  return "defaultValue" in field && field.value !== field.defaultValue;
}

export function whenTyped(form, hears, does) {
  form.addEventListener("input", (event) => { if (hears(event.target)) does(); });
  const look = () => { if ([...form.elements].some((field) => hears(field) && altered(field))) does(); };
  look();
  window.addEventListener("pageshow", look);
}
