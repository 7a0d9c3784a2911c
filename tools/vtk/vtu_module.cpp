#include "tools/vtk/vtu_module.hpp"

#include <vtkCellData.h>
#include <vtkDoubleArray.h>
#include <vtkFieldData.h>
#include <vtkIntArray.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLUnstructuredGridWriter.h>

#include <array>
#include <cmath>
#include <numbers>

namespace joulepress::tools {
namespace {

/// VTK writes names of arrays as they are; readers take entities back.
std::string escaped(const std::string& name) {
  std::string out;
  for (const char c : name) {
    if (c == '&')
      out += "&amp;";
    else if (c == '<')
      out += "&lt;";
    else if (c == '>')
      out += "&gt;";  // VTK's reader takes the first one for the end of the element
    else if (c == '"')
      out += "&quot;";
    else
      out += c;
  }
  return out;
}

/// Cells as quads; blocks do not share points, as grid lines need not match.
void add_quads(const mesh::Mesh& mesh, vtkPoints& points, vtkUnstructuredGrid& grid) {
  for (const mesh::BlockGrid& block : mesh.grids) {
    const vtkIdType first = points.GetNumberOfPoints(), width = block.n_r() + 1;
    for (const double z : block.z_lines)
      for (const double r : block.r_lines) points.InsertNextPoint(r, z, 0.0);
    for (int j = 0; j < block.n_z(); ++j)
      for (int i = 0; i < block.n_r(); ++i) {
        const vtkIdType corner = first + j * width + i;
        const std::array<vtkIdType, 4> ids{corner, corner + 1, corner + width + 1, corner + width};
        grid.InsertNextCell(VTK_QUAD, 4, ids.data());
      }
  }
}

/// Sector after sector, the cells of each in their order: bricks, and wedges along the axis.
void add_solids(const mesh::Mesh& mesh, int sectors, vtkPoints& points, vtkUnstructuredGrid& grid) {
  std::vector<vtkIdType> first;
  for (const mesh::BlockGrid& block : mesh.grids) {
    first.push_back(points.GetNumberOfPoints());
    for (int k = 0; k < sectors; ++k) {
      const double angle = 2.0 * std::numbers::pi * k / sectors;
      for (const double z : block.z_lines)
        for (const double r : block.r_lines)
          points.InsertNextPoint(r * std::cos(angle), r * std::sin(angle), z);
    }
  }
  for (int k = 0; k < sectors; ++k)
    for (std::size_t b = 0; b < mesh.grids.size(); ++b) {
      const mesh::BlockGrid& block = mesh.grids[b];
      const vtkIdType width = block.n_r() + 1, layer = width * (block.n_z() + 1);
      const auto id = [&](int sector, int i, int j) {
        return first[b] + (sector % sectors) * layer + j * width + i;
      };
      for (int j = 0; j < block.n_z(); ++j)
        for (int i = 0; i < block.n_r(); ++i) {
          if (block.r_lines[i] > 0.0) {
            const std::array<vtkIdType, 8> ids{
                id(k, i, j),     id(k, i + 1, j),     id(k + 1, i + 1, j),     id(k + 1, i, j),
                id(k, i, j + 1), id(k, i + 1, j + 1), id(k + 1, i + 1, j + 1), id(k + 1, i, j + 1)};
            grid.InsertNextCell(VTK_HEXAHEDRON, 8, ids.data());
          } else {
            // VTK's wedge has its first triangle looking outward, against the brick's first face.
            const std::array<vtkIdType, 6> ids{id(k, i, j),     id(k + 1, i + 1, j),     id(k, i + 1, j),
                                               id(k, i, j + 1), id(k + 1, i + 1, j + 1), id(k, i + 1, j + 1)};
            grid.InsertNextCell(VTK_WEDGE, 6, ids.data());
          }
        }
    }
}

/// Values and vectors of one array on their way into VTK.  Vectors get three components: r, z, 0 in the
/// plane; turned in the solids.
class Filler {
 public:
  Filler(const VtuArray& array, int sectors) : array_(array), sectors_(sectors) {
    data_->SetName(array.name.c_str());
    data_->SetNumberOfComponents(array.is_vector ? 3 : 1);
  }

  /// Entries [first, end), turned by an angle.
  void add(std::size_t first, std::size_t end, double angle) {
    for (std::size_t i = first; i < end; ++i) {
      if (!array_.is_vector) {
        data_->InsertNextValue(array_.values[i]);
        continue;
      }
      const double r = array_.values[2 * i], z = array_.values[2 * i + 1];
      if (sectors_ == 0)
        data_->InsertNextTuple3(r, z, 0.0);
      else
        data_->InsertNextTuple3(r * std::cos(angle), r * std::sin(angle), z);
    }
  }

  std::size_t entries() const { return array_.values.size() / (array_.is_vector ? 2 : 1); }
  vtkDoubleArray* data() { return data_; }

 private:
  const VtuArray& array_;
  int sectors_;
  vtkNew<vtkDoubleArray> data_;
};

/// Sector after sector, as the cells are.
void add_cell_array(const VtuArray& array, int sectors, vtkUnstructuredGrid& grid) {
  Filler filler(array, sectors);
  for (int k = 0; k < std::max(sectors, 1); ++k)
    filler.add(0, filler.entries(), 2.0 * std::numbers::pi * (k + 0.5) / std::max(sectors, 1));
  grid.GetCellData()->AddArray(filler.data());
}

/// Block after block, sector after sector in each, as the points are.
void add_point_array(const VtuArray& array, const mesh::Mesh& mesh, int sectors, vtkUnstructuredGrid& grid) {
  Filler filler(array, sectors);
  std::size_t first = 0;
  for (const mesh::BlockGrid& block : mesh.grids) {
    const std::size_t end = first + block.r_lines.size() * block.z_lines.size();
    for (int k = 0; k < std::max(sectors, 1); ++k)
      filler.add(first, end, 2.0 * std::numbers::pi * k / std::max(sectors, 1));
    first = end;
  }
  grid.GetPointData()->AddArray(filler.data());
}

void add_parts(const VtuRequest& request, vtkUnstructuredGrid& grid) {
  vtkNew<vtkIntArray> part;
  part->SetName("part_id");
  for (int k = 0; k < std::max(request.sectors, 1); ++k)
    for (int cell = 0; cell < request.mesh->n_cells(); ++cell)
      part->InsertNextValue(request.mesh->part_of(cell));
  grid.GetCellData()->AddArray(part);
  // A number of its own for every name: not all readers take an array of texts.
  for (std::size_t k = 0; k < request.part_names.size(); ++k) {
    vtkNew<vtkIntArray> id;
    id->SetName(escaped("part " + request.part_names[k]).c_str());
    id->InsertNextValue(static_cast<int>(k));
    grid.GetFieldData()->AddArray(id);
  }
}

}  // namespace
}  // namespace joulepress::tools

extern "C" bool joulepress_write_vtu(const joulepress::tools::VtuRequest& request) {
  using namespace joulepress::tools;
  vtkNew<vtkPoints> points;
  points->SetDataTypeToDouble();
  vtkNew<vtkUnstructuredGrid> grid;
  if (request.sectors == 0)
    add_quads(*request.mesh, *points, *grid);
  else
    add_solids(*request.mesh, request.sectors, *points, *grid);
  grid->SetPoints(points);
  for (const VtuArray& array : request.arrays) add_cell_array(array, request.sectors, *grid);
  for (const VtuArray& array : request.point_arrays)
    add_point_array(array, *request.mesh, request.sectors, *grid);
  vtkNew<vtkDoubleArray> time;
  time->SetName("TimeValue");
  time->InsertNextValue(request.time);
  grid->GetFieldData()->AddArray(time);
  add_parts(request, *grid);
  vtkNew<vtkXMLUnstructuredGridWriter> writer;
  writer->SetFileName(request.file.c_str());
  writer->SetInputData(grid);
  writer->SetDataModeToBinary();
  writer->SetCompressorTypeToZLib();
  writer->SetCompressionLevel(1);  // more saves few bytes and costs much time
  return writer->Write() == 1;
}
