// Shows the middle of what is wider than the screen, where most of a train is: it spares a movement of the finger.
for (const each of document.querySelectorAll(".map")) each.scrollLeft = (each.scrollWidth - each.clientWidth) / 2;
