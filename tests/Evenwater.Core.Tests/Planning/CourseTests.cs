using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Planning;

public class CourseTests
{
    /// <summary>
    /// At 0.9 L/h 1.6 L are the standpipe's 4 L after 2.67 h; what is drawn off at 5 h makes room for 1.11 h, in which nothing runs through. Whenever one looks, what ran in is in the vessel, below it or in
    /// the jug.
    /// </summary>
    [Fact]
    public void Water_is_neither_made_nor_lost_by_standpipe_and_draw_off()
    {
        var station = River.With(v => v with { Mode = VesselMode.Standpipe, StandpipeLitres = 4, StandpipeSdLitres = 0.1 }) with { Evaporation = new(), DrawOffs = [new DrawOff(5 * 3600, 1, 0.02)] };
        var course = Course.Of(station, 1.6, 0.9);
        for (var hours = 0.25; hours < 12; hours += 0.5)
        {
            var at = course.At(hours);
            Assert.Equal(0.9 * hours, at.InflowLitres, 1e-9);
            Assert.Equal(at.InflowLitres, at.Litres - 1.6 + at.OutflowLitres + at.DrawnLitres, 1e-9);
        }

        Assert.Equal((0.0, 1.0), (course.At(4.9).DrawnLitres, course.At(5.1).DrawnLitres));
        Assert.Equal(3 + (0.5 * 0.9), course.At(5.5).Litres, 1e-9);
        Assert.Equal((5 - (2.4 / 0.9)) * 0.9, course.At(5.5).OutflowLitres, 1e-9);
        Assert.Equal((10 * 0.9) - 2.4 - 1, course.At(10).OutflowLitres, 1e-9);
        Assert.False(course.DrawnDry);
    }
}
