//! Paints a [`draw::Scene`] into the window, one unit to one pixel.

use draw::scene::{arc_points, dashes, triangulate};
use draw::{Pos, Scene, Shape, Token};
use egui::epaint::PathStroke;
use egui::{
    Color32, Mesh, Pos2, Rect, Response, Role, Sense, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};

use super::text::{self, Face};
use super::theme;

/// What became of a drawing on the page.
pub struct SceneResponse {
    /// Of the whole drawing, for menus and tooltips of the page.
    pub response: Response,
    /// The key under the pointer.
    pub hovered: Option<u64>,
    /// The key that was clicked.
    pub clicked: Option<u64>,
}

/// Paints a drawing in the flow.
///
/// What can be hit shows its label under the pointer. The keyboard's way to the same things is the
/// table every drawing stands beside; the drawing itself takes no focus.
pub fn scene(ui: &mut Ui, scene: &Scene) -> SceneResponse {
    let (_, rect) = ui.allocate_space(vec2(scene.width, scene.height));
    scene_at(ui, rect.min, scene)
}

/// Paints a drawing with its upper left corner at a point; allocates nothing.
pub fn scene_at(ui: &mut Ui, min: Pos2, scene: &Scene) -> SceneResponse {
    let min = min.round();
    let id = ui.next_auto_id();
    ui.skip_ahead_auto_ids(1);
    let can_hit = scene.items.iter().any(|item| item.hit.is_some());
    let sense = if can_hit {
        Sense::CLICK
    } else {
        Sense::hover()
    };
    let rect = Rect::from_min_size(min, vec2(scene.width, scene.height));
    let response = ui.interact(rect, id, sense);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &scene.title));
    if ui.is_rect_visible(rect) {
        for item in &scene.items {
            shape(ui, min, &item.shape);
        }
    }
    let hit = response
        .hover_pos()
        .filter(|_| can_hit)
        .and_then(|at| scene.hit_at(draw::pos(at.x - min.x, at.y - min.y)));
    let hovered = hit.map(|hit| hit.key);
    let clicked = hovered.filter(|_| response.clicked());
    let response = match hit {
        Some(hit) if !hit.label.is_empty() => {
            let label = draw::font::readable(&hit.label);
            response
                .on_hover_cursor(egui::CursorIcon::PointingHand)
                .on_hover_text_at_pointer(label.as_ref())
        }
        _ => response,
    };
    SceneResponse {
        response,
        hovered,
        clicked,
    }
}

/// Paints shapes that are part of a control.
pub fn shapes(ui: &Ui, min: Pos2, shapes: &[Shape]) {
    for one in shapes {
        shape(ui, min, one);
    }
}

fn shape(ui: &Ui, min: Pos2, shape: &Shape) {
    let at = |p: Pos| pos2(min.x + p.x, min.y + p.y);
    let fill_color =
        |token: &Option<Token>| token.map_or(Color32::TRANSPARENT, |t| theme::color(ui, t));
    let solid = |stroke: &Option<draw::Stroke>| match stroke {
        Some(stroke) if stroke.dash.is_none() => theme::stroke(ui, stroke.width, stroke.token),
        _ => egui::Stroke::NONE,
    };
    let painter = ui.painter();
    match shape {
        Shape::Line { from, to, stroke } => line(ui, min, &[*from, *to], *stroke),
        Shape::Polyline { points, stroke } => line(ui, min, points, *stroke),
        Shape::Arc {
            centre,
            radius,
            from_deg,
            to_deg,
            stroke,
        } => {
            line(
                ui,
                min,
                &arc_points(*centre, *radius, *from_deg, *to_deg),
                *stroke,
            );
        }
        Shape::Polygon {
            points,
            fill,
            stroke,
        } => {
            if let Some(token) = fill {
                fill_polygon(ui, min, points, theme::color(ui, *token));
            }
            if let Some(stroke) = stroke {
                outline(ui, min, points, *stroke);
            }
        }
        Shape::Circle {
            centre,
            radius,
            fill,
            stroke,
        } => {
            // egui lays the stroke of a circle outside its radius, a scene on it.
            let stroke_shown = solid(stroke);
            painter.circle_filled(at(*centre), *radius, fill_color(fill));
            painter.circle_stroke(
                at(*centre),
                *radius - stroke_shown.width / 2.0,
                stroke_shown,
            );
            if let Some(stroke) = stroke.filter(|stroke| stroke.dash.is_some()) {
                line(ui, min, &arc_points(*centre, *radius, 0.0, 360.0), stroke);
            }
        }
        Shape::Rect {
            min: low,
            max: high,
            corner,
            fill,
            stroke,
        } => {
            let rect = Rect::from_min_max(at(*low), at(*high));
            painter.rect(
                rect,
                *corner,
                fill_color(fill),
                solid(stroke),
                StrokeKind::Middle,
            );
            if let Some(stroke) = stroke.filter(|stroke| stroke.dash.is_some()) {
                let corners = [
                    *low,
                    draw::pos(high.x, low.y),
                    *high,
                    draw::pos(low.x, high.y),
                ];
                outline(ui, min, &corners, stroke);
            }
        }
        Shape::Text(words) => {
            let face = Face {
                size: words.size,
                weight: words.weight,
                token: words.token,
                struck: false,
            };
            if let Some(token) = words.backing {
                let (low, high) = words.bounds();
                let rect = Rect::from_min_max(at(low), at(high)).expand(2.0);
                painter.rect_filled(rect, 0.0, theme::color(ui, token));
            }
            text::silent(ui, at(words.at), words.align, face, &words.text);
        }
    }
}

fn line(ui: &Ui, min: Pos2, points: &[Pos], stroke: draw::Stroke) {
    let color = theme::color(ui, stroke.token);
    let at = |p: &Pos| pos2(min.x + p.x, min.y + p.y);
    match stroke.dash {
        Some(dash) => {
            for piece in dashes(points, dash) {
                ui.painter()
                    .line_segment(piece.each_ref().map(at), (stroke.width, color));
            }
        }
        None if points.len() == 2 => {
            ui.painter()
                .line_segment([at(&points[0]), at(&points[1])], (stroke.width, color));
        }
        None => {
            ui.painter().line(
                points.iter().map(at).collect(),
                PathStroke::new(stroke.width, color),
            );
        }
    }
}

fn outline(ui: &Ui, min: Pos2, points: &[Pos], stroke: draw::Stroke) {
    if stroke.dash.is_some() {
        let closed: Vec<Pos> = points.iter().chain(points.first()).copied().collect();
        return line(ui, min, &closed, stroke);
    }
    let at = |p: &Pos| pos2(min.x + p.x, min.y + p.y);
    let stroke = PathStroke::new(stroke.width, theme::color(ui, stroke.token));
    ui.painter().add(egui::Shape::closed_line(
        points.iter().map(at).collect(),
        stroke,
    ));
}

/// egui smooths the edge of convex shapes only; others go in as triangles, and their edge is
/// smoothed by the outline that goes over it.
fn fill_polygon(ui: &Ui, min: Pos2, points: &[Pos], color: Color32) {
    let at = |p: &Pos| pos2(min.x + p.x, min.y + p.y);
    if is_convex(points) {
        let points = points.iter().map(at).collect();
        ui.painter().add(egui::Shape::convex_polygon(
            points,
            color,
            egui::Stroke::NONE,
        ));
        return;
    }
    let mut mesh = Mesh::default();
    for point in points {
        mesh.colored_vertex(at(point), color);
    }
    for [a, b, c] in triangulate(points) {
        mesh.add_triangle(a as u32, b as u32, c as u32);
    }
    ui.painter().add(mesh);
}

fn is_convex(points: &[Pos]) -> bool {
    let turn = |i: usize| {
        let [a, b, c] = [0, 1, 2].map(|k| points[(i + k) % points.len()]);
        (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x)
    };
    let (left, right) = (0..points.len()).fold((false, false), |(left, right), i| {
        let turn = turn(i);
        (left || turn > 1e-3, right || turn < -1e-3)
    });
    !(left && right)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_outlines_without_a_dent_are_left_to_egui() {
        let square = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)].map(|(x, y)| draw::pos(x, y));
        let dented = [(0.0, 0.0), (4.0, 0.0), (2.0, 2.0), (4.0, 4.0), (0.0, 4.0)]
            .map(|(x, y)| draw::pos(x, y));
        assert!(is_convex(&square));
        assert!(!is_convex(&dented));
    }
}
