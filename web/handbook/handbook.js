// What every page of the handbook does: one that the easel has opened leads back to
// it, rather than to another easel, which could keep nothing beside the first.
'use strict';

document.getElementById('back').addEventListener('click', (event) => {
  if (!window.opener || window.opener.closed) return;
  event.preventDefault();
  window.opener.focus();
  window.close();
});
