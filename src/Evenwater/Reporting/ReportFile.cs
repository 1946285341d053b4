using Evenwater.Page;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Web;

namespace Evenwater.Reporting;

/// <summary>The report as one HTML file that stands alone.</summary>
internal static class ReportFile
{
    /// <summary>The file's text.</summary>
    public static async Task<string> OfAsync(RunReport report)
    {
        await using var services = new ServiceCollection().AddLogging().BuildServiceProvider();
        await using var renderer = new HtmlRenderer(services, services.GetRequiredService<ILoggerFactory>());
        return await renderer.Dispatcher.InvokeAsync(async () =>
        {
            var page = await renderer.RenderComponentAsync<RunReportPage>(ParameterView.FromDictionary(new Dictionary<string, object?>
            {
                [nameof(RunReportPage.Report)] = report,
                [nameof(RunReportPage.Look)] = PictureFile.Looks("picture.css", "report.css"),
            }));
            return page.ToHtmlString();
        });
    }
}
