// anywidget (0.11) gives a module two seconds to load. On a busy or slow computer it takes longer; from then on
// every message to that model is refused, and what it shows would stand still for good. Called as a view is
// drawn: where that has happened, messages are let through again, and what was missed is asked for.
export async function hearLate(model) {
  try {
    const whole = await model.widget_manager?.get_model?.(model.get("own_id"));
    if (!whole?.comm) return;
    try {
      await whole._handle_comm_msg({ content: { data: { method: "none" } } });
    } catch {
      const { _handle_comm_msg: heard } = Object.getPrototypeOf(Object.getPrototypeOf(whole));
      whole.comm.on_msg((message) => heard.call(whole, message));
      whole.comm.send({ method: "request_state" }, whole.widget_manager.callbacks());
    }
  } catch (error) {
    console.warn("Could not ask again for what came late", error);
  }
}
